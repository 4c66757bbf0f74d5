// Keys that work everywhere on a sheet, and keys that must not act by themselves.

import { redo, undo } from "./draft-changes.js";
import { state } from "./store.js";
import { redoHand, undoHand } from "./hand/editor.js";

const ARROWS = new Set(["ArrowUp", "ArrowDown", "ArrowLeft", "ArrowRight", "PageUp", "PageDown", "Home", "End"]);

/** Who undoes on which sheet. */
const UNDOING = { brief: [undo, redo], hand: [undoHand, redoHand] };

/** Listen for undo and redo, and keep closed selects from acting on arrow keys. */
export function listen() {
  addEventListener("keydown", onKey);
  addEventListener("beforeinput", onInput);
}

function onKey(event) {
  const step = stepOf(event);
  const steps = UNDOING[state.route.view];
  if (step !== null && steps && event.target.tagName !== "TEXTAREA") {
    event.preventDefault();
    steps[step]();
  }
  if (event.target.tagName === "SELECT" && ARROWS.has(event.key) && !event.altKey) openInstead(event);
}

/** 0 for the keys of undo, 1 for those of redo, null for others. */
function stepOf(event) {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return null;
  const key = event.key.toLowerCase();
  if (key === "z") return event.shiftKey ? 1 : 0;
  return key === "y" && !event.shiftKey ? 1 : null;
}

/** Undo from the browser's menu is ours too: a field's own would not know of the rest. */
function onInput(event) {
  const step = { historyUndo: 0, historyRedo: 1 }[event.inputType];
  if (step === undefined || state.route.view !== "brief" || event.target.tagName === "TEXTAREA") return;
  event.preventDefault();
  UNDOING.brief[step]();
}

/** A closed select opens on arrow keys, so that what it does is chosen and not passed by. */
function openInstead(event) {
  const select = event.target;
  if (!CSS.supports("selector(:open)") || select.matches(":open")) return;
  event.preventDefault();
  try {
    select.showPicker();
  } catch {
    // Where it may not be opened by script, Space and Enter open it.
  }
}
