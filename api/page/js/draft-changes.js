// Changes of the draft: each is one step that can be taken back.

import { changed } from "./brief-check.js";
import { added, removed, within, written } from "./pointers.js";
import { announce, notify, set, state } from "./store.js";
import { reduced, toRedo, toUndo } from "./versions.js";

function step(action, more = {}) {
  const versions = reduced(state.versions, action);
  if (versions === state.versions) {
    if (Object.keys(more).length) set(more);
    return;
  }
  const draft = versions.now;
  const wall = Math.min(more.wall ?? state.wall, draft.brief.room.walls.length - 1);
  set({ ...more, versions, draft, wall: Math.max(0, wall) });
  changed();
}

/** Make `draft` the draft; `more` is what else of the state changes with it. */
export function replace(label, draft, more = {}) {
  step({ type: "change", now: draft, label }, more);
}

/** Change the brief: `change` gives the next brief of the one it is given. */
export function edit(label, change, { group, ...more } = {}) {
  const { draft } = state;
  step({ type: "change", now: { ...draft, brief: change(draft.brief) }, label, group }, more);
}

/** Write one place of the brief; typing on in it is one step. */
export function put(pointer, value, label = "typing") {
  edit(label, (brief) => written(brief, pointer, value),
    { group: pointer, touched: new Set(state.touched).add(pointer) });
}

/** Write several places of the brief as one step of a group. */
export function putAll(pairs, label, group) {
  edit(label, (brief) => pairs.reduce((now, [pointer, value]) => written(now, pointer, value), brief),
    { group, touched: new Set([...state.touched, ...pairs.map(([pointer]) => pointer)]) });
}

/** Add an entry to a list of the brief; gives its index. */
export function add(pointer, entry, label) {
  let index = 0;
  edit(label, (brief) => {
    const [next, at] = added(brief, pointer, entry);
    index = at;
    return next;
  });
  return index;
}

/** Take an entry out of a list of the brief. */
export function remove(pointer, index, name) {
  edit(`removing ${name}`, (brief) => removed(brief, pointer, index), { touched: untouched(pointer) });
  notify(`Removed: ${name}.`, UNDO);
}

/** What has been typed into, without what lies within a place. */
export const untouched = (pointer) =>
  new Set([...state.touched].filter((one) => one === pointer || !within(one, pointer)));

/** The next change is a step of its own. */
export function rest() {
  set({ versions: reduced(state.versions, { type: "rest" }) });
}

/** Take the last step back. */
export function undo() {
  const label = toUndo(state.versions);
  if (label === null) return announce("Nothing to undo.");
  step({ type: "undo" }, { notice: null });
  return announce(`Undone: ${label}.`);
}

/** Take the last undo back. */
export function redo() {
  const label = toRedo(state.versions);
  if (label === null) return announce("Nothing to redo.");
  step({ type: "redo" }, { notice: null });
  return announce(`Done again: ${label}.`);
}

/** What a notice offers after a step. */
export const UNDO = { name: "Undo", run: undo };
