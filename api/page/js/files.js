// Briefs to and from files and scenarios, and the draft's units.

import { briefOf, draftOf, emptyDraft, inUnits, lengthOf } from "./draft.js";
import { replace, UNDO } from "./draft-changes.js";
import { roomOf, depthOf } from "./room.js";
import { save } from "./service.js";
import { shapeOf } from "./shapes.js";
import { announce, notify, set, state } from "./store.js";

const MOST_BYTES = 1_000_000;

/** Make a brief the draft, as a step that can be taken back. */
export function take(brief, said) {
  const draft = withShape(draftOf(brief));
  replace("loading a brief", draft, { wall: longestWall(draft), touched: new Set(), showAll: false, fresh: false });
  if (said) notify(said, UNDO);
}

function withShape(draft) {
  const shape = shapeOf(draft.brief.room, depthOf(roomOf(draft)));
  return shape === "own" ? draft : { ...draft, shape };
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
  if (found) take(found.brief, `${found.title} is in the form.`);
}

/** An empty brief in the place of the draft. */
export function startOver() {
  replace("starting over", emptyDraft(state.draft.brief.units), { wall: 0, touched: new Set(), showAll: false });
  notify("An empty brief.", UNDO);
}

/** Use other units for the same room. */
export function switchUnits(units) {
  if (units === state.draft.brief.units) return;
  replace("other units", inUnits(state.draft, units));
  announce(units === "mm" ? "Millimetres." : "Inches.");
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
    take(brief, `${file.name} is in the form.`);
    set({ showAll: true });
  } catch (error) {
    const reason = error instanceof SyntaxError ? "it is no JSON" : error.message;
    notify(`${file.name} was not loaded: ${reason}.`);
  }
}
