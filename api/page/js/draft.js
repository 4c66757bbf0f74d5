// The brief as it is being filled in: texts as they were typed, in the brief's own shape, so
// that a JSON Pointer of a fault leads straight to its field.

import { converted, MM_PER_INCH, parseLength } from "./lengths.js";
import { guesses } from "./guesses.js";
import { written } from "./pointers.js";
import { isRectangle, SHAPES } from "./shapes.js";
import { FIRST_WEIGHTS } from "./stock.js";
import { frozen } from "./versions.js";

const KG_PER_LB = 0.45359237;
const FEET_PER_METRE = 1000 / 25.4 / 12;
const TEXTS = new Set([
  "name", "id", "wall", "kind", "pattern", "material", "units", "corner", "place", "use",
  "posture", "access", "hinge", "luminaire", "rod_stock", "fastener", "grain", "solver", "why",
  "top_line", "wall_ends", "mid_support",
]);
const PLAIN_NUMBERS = new Set([
  "count", "age", "weight_lb", "weight_kg", "alternatives", "max_quality_loss", "min_difference",
  "time_limit_s", "gap", "seed", "shelf_load", "rod_load", "deflection_ratio", "creep_factor",
  "safety_factor", "together", "price",
  ...Object.keys(FIRST_WEIGHTS),
]);
const PLAIN = /^-?(\d+\.?\d*|\.\d+)$/;

/** An empty draft of a reach-in; `shape` is the room it was begun as. */
export function emptyDraft(units = "in") {
  return frozen({ units, shape: "reach_in", brief: { ...emptyBrief(), units, room: emptyRoom("reach_in") } });
}

function emptyBrief() {
  return {
    name: "",
    units: "in",
    needs: { garments: [], stored: [], items: [], users: [] },
    construction: {},
    priorities: { ...FIRST_WEIGHTS },
    pins: [],
    mount_pins: [],
    options: { alternatives: "4", time_limit_s: "10" },
  };
}

/** A room of that shape with nothing measured yet. */
export function emptyRoom(shape) {
  const { walls, openings } = SHAPES[shape];
  return { ceiling_height: "", walls: walls(), openings: openings(), obstructions: [], keep_clear: [] };
}

/**
 * The brief to send: guesses in the place of blanks that have one, other blanks left out, plain
 * numbers as numbers, other texts as typed.
 */
export function briefOf(draft) {
  const guessed = guesses(draft).reduce((now, { pointer, text }) => written(now, pointer, text), draft.brief);
  const { room } = guessed;
  const whole = { ...guessed, mount_pins: stillAsked(guessed), room: { ...room, walls: filledWalls(room.walls) } };
  const brief = cleaned(whole) ?? {};
  brief.name ||= "Closet";
  brief.room ??= {};
  brief.needs ??= {};
  return brief;
}

/** Places kept for hooks and mirrors that are still asked for. */
function stillAsked({ mount_pins: kept = [], needs: { hooks = [], mirrors = [] } }) {
  const asked = new Set([...hooks, ...mirrors].map(({ id }) => id));
  return kept.filter(({ mount }) => asked.has(mount));
}

/** Walls with blank ones of a rectangle as long as the wall across. */
export function filledWalls(walls) {
  if (!isRectangle(walls)) return walls;
  return walls.map((wall, index) => {
    const across = walls[(index + 2) % 4];
    return blank(wall.length) && !blank(across.length) ? { ...wall, length: across.length } : wall;
  });
}

const blank = (value) => value === undefined || value === null || String(value).trim() === "";

function cleaned(value, key = "") {
  if (Array.isArray(value)) return value.map((one) => cleaned(one, key) ?? {});
  if (value !== null && typeof value === "object") {
    const pairs = Object.entries(value)
      .filter(([name]) => name !== "ghost")
      .map(([name, inner]) => [name, cleaned(inner, name)])
      .filter(([, inner]) => inner !== undefined);
    return pairs.length || key === "" ? Object.fromEntries(pairs) : undefined;
  }
  if (typeof value !== "string" || TEXTS.has(key)) return value === "" ? undefined : value;
  if (blank(value)) return undefined;
  if (key === "length" && value.includes(";")) {
    return value.split(";").filter((one) => !blank(one)).map((one) => cleaned(one.trim(), "reading"));
  }
  return PLAIN.test(value.trim()) ? Number(value) : value.trim();
}

/** A draft of a brief that came from a file, a scenario or a study. */
export function draftOf(brief) {
  const empty = emptyBrief();
  const text = texted(brief);
  const merged = {
    ...empty,
    ...text,
    needs: { ...empty.needs, ...text.needs },
    priorities: { ...FIRST_WEIGHTS, ...brief.priorities },
    options: { ...empty.options, ...text.options },
    construction: text.construction ?? {},
    pins: brief.pins ?? [],
    mount_pins: brief.mount_pins ?? [],
    room: { ceiling_height: "", openings: [], obstructions: [], keep_clear: [], ...text.room },
  };
  merged.room.walls = (merged.room.walls ?? []).map((wall, index) => ({
    ...wall,
    id: wall.id ?? String(index + 1),
    corner: wall.corner ?? "inside",
  }));
  if (!merged.room.walls.length) throw new Error("the brief has no walls");
  merged.units = merged.units === "mm" ? "mm" : "in";
  return frozen({ units: merged.units, brief: merged });
}

function texted(value, key = "") {
  if (Array.isArray(value)) {
    if (key === "length") return value.map(String).join("; ");
    return value.map((one) => texted(one, key));
  }
  if (value !== null && typeof value === "object") {
    return Object.fromEntries(Object.entries(value)
      .filter(([, inner]) => inner !== null)
      .map(([name, inner]) => [name, texted(inner, name)]));
  }
  return typeof value === "number" ? String(value) : value;
}

/** The same room and needs in other units; only what was typed is turned into them. */
export function inUnits(draft, units) {
  const from = draft.brief.units;
  if (from === units) return draft;
  const brief = turned(draft.brief, from, units);
  brief.units = units;
  for (const item of brief.needs.items) weigh(item, units);
  load(brief.construction, units);
  return frozen({ ...draft, units, brief });
}

function turned(value, from, to, key = "") {
  if (Array.isArray(value)) return value.map((one) => turned(one, from, to, key));
  if (value !== null && typeof value === "object") {
    return Object.fromEntries(
      Object.entries(value).map(([name, inner]) => [name, turned(inner, from, to, name)]));
  }
  if (key === "ghost" || PLAIN_NUMBERS.has(key) || TEXTS.has(key)) return value;
  if (typeof value === "number") return Number(converted(String(value), from, to));
  if (typeof value !== "string") return value;
  return value.split(";").map((one) => converted(one.trim(), from, to)).join("; ");
}

function weigh(item, units) {
  const [from, to, ratio] = units === "mm"
    ? ["weight_lb", "weight_kg", KG_PER_LB]
    : ["weight_kg", "weight_lb", 1 / KG_PER_LB];
  if (blank(item[from])) return;
  const value = Number(item[from]);
  if (Number.isFinite(value)) item[to] = String(Number((value * ratio).toFixed(2)));
  delete item[from];
}

/** Loads are lb/sq ft and lb/ft in inch briefs, kg/m2 and kg/m in millimetre ones. */
function load(construction, units) {
  const ratios = { shelf_load: KG_PER_LB * FEET_PER_METRE ** 2, rod_load: KG_PER_LB * FEET_PER_METRE };
  for (const [name, ratio] of Object.entries(ratios)) {
    if (blank(construction?.[name])) continue;
    const value = Number(construction[name]) * (units === "mm" ? ratio : 1 / ratio);
    if (Number.isFinite(value)) construction[name] = String(Number(value.toFixed(4)));
  }
}

/** A size of ours, given in inches, as text in the draft's units. */
export function sizeText(inches, units) {
  return units === "mm" ? String(Math.round((inches * MM_PER_INCH) / 5) * 5) : String(inches);
}

/** Length [brief units] of a field's text, or null; of several readings the least. */
export function lengthOf(text, units) {
  if (blank(text)) return null;
  const values = String(text).split(";").filter((one) => !blank(one))
    .map((one) => parseLength(one, units));
  return values.length && values.every((value) => value !== null) ? Math.min(...values) : null;
}
