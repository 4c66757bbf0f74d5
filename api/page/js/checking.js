// The brief checked by the service while it is typed.

import { briefOf, remember } from "./draft.js";
import { announce, redraw, state } from "./store.js";
import { validate } from "./service.js";

const PAUSE_MS = 350;
const AGAIN_MS = 5000;
let timer = 0;
let running = null;

/** The draft has changed: keep it, draw it, and check it after a pause. */
export function changed() {
  remember(state.draft);
  redraw();
  clearTimeout(timer);
  timer = setTimeout(check, PAUSE_MS);
}

/** Check the brief now; gives whether it would be taken. */
export async function check() {
  clearTimeout(timer);
  running?.abort();
  const mine = new AbortController();
  running = mine;
  try {
    const answer = await validate(briefOf(state.draft), mine.signal);
    found("sound", [], answer.warnings);
  } catch (error) {
    if (error.name === "AbortError") return false;
    refused(error);
  }
  return state.check.status === "sound";
}

function refused(error) {
  if (error.errors?.length) {
    found("faulty", error.errors, []);
  } else {
    state.needsKey ||= error.status === 401;
    state.check = { ...state.check, status: "unreached", errors: [] };
    if (error.status === 0 || error.status >= 500) timer = setTimeout(check, AGAIN_MS);
    redraw();
  }
}

function found(status, errors, warnings) {
  const before = state.check;
  state.check = { status, errors, warnings };
  if (before.status !== status && status === "sound") announce("The brief is complete.");
  redraw();
}
