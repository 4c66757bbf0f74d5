// The brief checked by the service while it is typed.

import { briefOf } from "./draft.js";
import { keepJob } from "./jobs.js";
import { validate } from "./service.js";
import { isRectangle } from "./shapes.js";
import { announce, set, state } from "./store.js";

const PAUSE_MS = 350;
const AGAIN_MS = 5000;
let timer = 0;
let running = null;
let sound = null;

/** The draft has changed: keep it, and check it after a pause. */
export function changed() {
  keepJob();
  clearTimeout(timer);
  timer = setTimeout(check, PAUSE_MS);
}

/** Check the brief now; gives whether it would be taken. */
export async function check() {
  clearTimeout(timer);
  running?.abort();
  const mine = new AbortController();
  running = mine;
  const { draft } = state;
  try {
    const answer = await validate(briefOf(draft), mine.signal);
    sound = draft;
    found("sound", [], answer.warnings);
  } catch (error) {
    if (error.name === "AbortError") return false;
    refused(error, draft);
  }
  return state.check.status === "sound";
}

/** Whether the draft as it stands was found sound already. */
export const isSound = () => sound === state.draft && state.check.status === "sound";

/** What of the draft that was sent is asked for: of two walls across from each other one length, of a door its width first. */
function isAsked({ pointer, code }, draft) {
  if (code !== "missing") return true;
  const { walls, openings } = draft.brief.room;
  const wall = /^\/room\/walls\/([23])\/length$/.exec(pointer);
  if (wall && isRectangle(walls) && !walls[wall[1] - 2].length) return false;
  const door = /^\/room\/openings\/([0-9]+)\/start$/.exec(pointer);
  return !(door && !openings[door[1]].width);
}

function refused(error, draft) {
  if (error.errors?.length) {
    // By the time of the answer a door may be gone that was still asked about.
    found("faulty", error.errors.filter((fault) => isAsked(fault, draft)), []);
    return;
  }
  const busy = error.status === 429;
  if (error.status === 0 || error.status >= 500 || busy) {
    timer = setTimeout(check, busy ? 1000 * (error.retryAfter || 5) : AGAIN_MS);
  }
  set({
    needsKey: state.needsKey || error.status === 401,
    check: { ...state.check, status: busy ? "busy" : "unreached", errors: [] },
  });
}

function found(status, errors, warnings) {
  const before = state.check;
  set({ check: { status, errors, warnings } });
  if (before.status !== status && status === "sound") announce("The brief is complete.");
}
