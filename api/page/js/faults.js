// Faults of the service in the words of the form: where they are, and what is wrong.

import { read, steps } from "./pointers.js";
import { state } from "./store.js";
import { OBSTRUCTIONS, PRIORITIES } from "./stock.js";

const PLAIN = {
  missing: "still missing",
  no_needs: "Nothing has to go in: count things, give a length, or let hanging or shelving matter",
  user_form: "give a height, or an age for a child",
  string_pattern_mismatch: "Written in a way that is not known here",
};

/** What is wrong, at its field. */
export const detailOf = (fault) => capital(wordsOf(fault));

/** In words, without what was typed: that is seen in the field. */
const wordsOf = ({ code, detail }) => PLAIN[code] ?? detail.replace(/ \(got .*\)$/, "");

const FIELDS = {
  length: "length", height: "height", start: "place from the left corner", width: "width", bottom: "height above the floor",
  depth: "depth", why: "reason", measuring_tolerance: "Measuring tolerance", count: "how many", stature: "height", age: "age", ceiling_height: "Ceiling height", id: "name",
  long_hang: "Long hang", medium_hang: "Medium hang", short_hang: "Short hang", shelf_length: "Shelf length",
};

/** What is wrong and where, for a list of all faults. */
export function faultText(fault) {
  const place = placeOf(fault.pointer);
  return place ? `${place}: ${wordsOf(fault)}` : detailOf(fault);
}

/** Where a fault is, in the words of the form; "" where that says nothing. */
export function placeOf(pointer) {
  const path = steps(pointer);
  const index = path.findIndex((step) => /^\d+$/.test(step));
  const last = path.at(-1) ?? "";
  const field = FIELDS[last] ?? PRIORITIES[last]?.[0] ?? (/^\d+$/.test(last) ? "" : last.replaceAll("_", " "));
  if (index < 0) return path.length > 1 && !["walls", "needs", "pins", "mount_pins"].includes(last) ? capital(field) : "";
  const owner = ownerOf(path, index);
  return index === path.length - 1 || !field ? owner : `${owner}, ${field}`;
}

function ownerOf(path, index) {
  const list = path[index - 1];
  const number = Number(path[index]) + 1;
  const one = read(state.draft.brief, `/${path.slice(0, index + 1).join("/")}`) ?? {};
  if (list === "walls") return wallTitle(one.id ?? `${number}`);
  if (list === "openings") return `Door ${number}`;
  if (list === "obstructions") return `${OBSTRUCTIONS[one.kind]?.title ?? "Thing"} ${number}`;
  if (list === "keep_clear") return `Box kept clear ${number}`;
  if (list === "garments") return capital(one.kind ?? "Clothes");
  if (list === "stored") return capital(one.kind ?? "Things on shelves");
  if (list === "items") return capital(one.id || `Bulky thing ${number}`);
  if (list === "hooks") return capital(one.id || `Row of hooks ${number}`);
  if (list === "mirrors") return capital(one.id || `Mirror ${number}`);
  if (list === "users") return `Person ${number}`;
  if (list === "pins") return `Kept bay ${number}`;
  if (list === "mount_pins") return `${capital(one.mount ?? "Hooks")}, kept on ${wallTitle(one.wall ?? "the")}`;
  return `${capital(list)} ${number}`;
}

/** A wall's name in a sentence. */
export function wallTitle(id) {
  if (/wall/i.test(id)) return capital(id);
  return id.length <= 2 ? `Wall ${id}` : `${capital(id)} wall`;
}

/** A text of the service as a sentence. */
export const sentence = (text) => capital(text.replace(/[.\s]*$/, "."));

/** A word with a capital. */
export const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);
