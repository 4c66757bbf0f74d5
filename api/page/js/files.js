// Briefs to and from files and scenarios, and the draft's units.

import { changed } from "./checking.js";
import { briefOf, draftOf, emptyDraft, forget, inUnits, lengthOf } from "./draft.js";
import { save } from "./service.js";
import { announce, set, state } from "./store.js";

const MOST_BYTES = 1_000_000;

/** Make a brief the draft. */
export function take(brief, said) {
  const draft = draftOf(brief);
  set({ draft, wall: longestWall(draft), touched: new Set(), showAll: false, notice: null });
  if (said) announce(said);
  changed();
}

/** Index of the longest wall without a way in, the one worth looking at first. */
function longestWall(draft) {
  const { units, room } = draft.brief;
  const lengths = room.walls.map((wall) =>
    (room.openings.some((opening) => opening.wall === wall.id) ? 0 : lengthOf(wall.length, units) ?? 0));
  return lengths.indexOf(Math.max(...lengths));
}

/** Start from a scenario of that name. */
export function startFrom(name) {
  const found = state.scenarios.find((one) => one.name === name);
  if (found) take(found.brief, `${found.title} loaded.`);
}

/** Forget the draft and begin anew. */
export function startOver() {
  const { units } = state.draft.brief;
  forget();
  set({
    draft: units === "mm" ? inUnits(emptyDraft(), "mm") : emptyDraft(),
    wall: 0, touched: new Set(), showAll: false, notice: null,
  });
  announce("An empty brief.");
  changed();
}

/** Use other units for the same room. */
export function switchUnits(units) {
  set({ draft: inUnits(state.draft, units) });
  announce(units === "mm" ? "Millimetres." : "Inches.");
  changed();
}

/** A name as part of a file's name. */
export const fileName = (name) => (name || "closet").trim().toLowerCase().replace(/[^a-z0-9]+/g, "-").replace(/^-|-$/g, "") || "closet";

/** Hand the brief over as a file. */
export function saveBrief() {
  const brief = briefOf(state.draft);
  const blob = new Blob([`${JSON.stringify(brief, null, 2)}\n`], { type: "application/json" });
  save(blob, `${fileName(brief.name)}.json`);
}

/** Take a brief from a file that the person chose; a study's brief is found inside it. */
export async function loadFile(event) {
  const [file] = event.target.files;
  event.target.value = "";
  if (!file) return;
  try {
    if (file.size > MOST_BYTES) throw new Error("it is larger than 1 MB");
    const data = JSON.parse(await file.text());
    const brief = data?.brief ?? data;
    if (!brief?.room?.walls || !brief.needs) throw new Error("it has no room or no needs");
    take(brief, `${file.name} loaded.`);
    set({ showAll: true });
  } catch (error) {
    const reason = error instanceof SyntaxError ? "it is no JSON" : error.message;
    set({ notice: `${file.name} was not loaded: ${reason}.` });
  }
}
