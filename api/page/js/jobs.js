// Jobs kept on this machine, by name. Each tab of the browser works on a job of its own: what one
// tab types never lands in another's draft.

import { emptyDraft } from "./draft.js";
import { set, state } from "./store.js";
import { begun } from "./versions.js";

const LIST_AT = "closet-jobs";
const DRAFT_AT = "closet-job-";
const FORMER_AT = "closet-draft";
const TAB_AT = "closet-tab-job";
const ASK_MS = 80;
const MOST = 60;

const newId = () => crypto.randomUUID?.() ?? `${Date.now()}-${Math.random()}`;
const line = typeof BroadcastChannel === "undefined" ? null : new BroadcastChannel("closet-tabs");

function readOf(store, key) {
  try {
    return JSON.parse(store.getItem(key));
  } catch {
    return null;
  }
}

/** Keep a value; a full or forbidden store costs the memory of it, nothing else. */
function keep(store, key, value) {
  try {
    store.setItem(key, JSON.stringify(value));
  } catch {
    // Nothing was kept.
  }
}

function drop(store, key) {
  try {
    store.removeItem(key);
  } catch {
    // Nothing was kept.
  }
}

const listed = () => (readOf(localStorage, LIST_AT) ?? []).filter((one) => one && one.id);

function draftAt(id) {
  const kept = readOf(localStorage, DRAFT_AT + id);
  if (!kept?.brief?.room?.walls?.length || !kept.brief.needs) return null;
  // A draft kept by an earlier page may lack lists that came later.
  kept.brief.room.keep_clear ??= [];
  kept.brief.needs.stored ??= [];
  return kept;
}

const blank = (draft) => JSON.stringify(draft) === JSON.stringify(emptyDraft(draft.units));

/** Keep the draft of this tab's job; a job that nothing was typed into is not listed. */
export function keepJob() {
  const { job, draft } = state;
  const others = listed().filter((one) => one.id !== job.id);
  const before = listed().find((one) => one.id === job.id);
  keep(sessionStorage, TAB_AT, job.id);
  if (blank(draft) && !before && !job.notes) return;
  keep(localStorage, DRAFT_AT + job.id, draft);
  const record = { id: job.id, name: draft.brief.name || "No name yet", notes: job.notes, changed: Date.now() };
  keep(localStorage, LIST_AT, [record, ...others].slice(0, MOST));
  for (const gone of others.slice(MOST - 1)) drop(localStorage, DRAFT_AT + gone.id);
  set({ jobs: listed() });
}

/** Write this job's notes. */
export function note(text) {
  set({ job: { ...state.job, notes: text } });
  keepJob();
}

function enter(id, draft, notes = "") {
  set({
    job: { id, notes }, versions: begun(draft), draft, touched: new Set(), showAll: false,
    wall: Math.max(0, draft.brief.room.walls.findIndex((wall) => wall.id === "Back")),
    jobs: listed(), notice: null, fresh: blank(draft),
  });
  keep(sessionStorage, TAB_AT, id);
}

/** A job of its own for this tab with that draft. */
export function newJob(draft = emptyDraft(), notes = "") {
  enter(newId(), draft, notes);
}

/** Open a kept job here; gives false where another tab has it open. */
export async function openJob(id) {
  if (id === state.job.id) return true;
  if (await isOpenElsewhere(id)) return false;
  const draft = draftAt(id);
  if (draft) enter(id, draft, listed().find((one) => one.id === id)?.notes);
  return true;
}

/** Open a copy of a kept job in this tab. */
export function duplicateJob(id) {
  const draft = draftAt(id);
  if (!draft) return;
  const name = `${draft.brief.name || "Closet"}, copy`;
  newJob({ ...draft, brief: { ...draft.brief, name } }, listed().find((one) => one.id === id)?.notes);
}

/** Delete a kept job; gives what puts it back. */
export function deleteJob(id) {
  const record = listed().find((one) => one.id === id);
  const draft = draftAt(id);
  keep(localStorage, LIST_AT, listed().filter((one) => one.id !== id));
  drop(localStorage, DRAFT_AT + id);
  const here = id === state.job.id ? state.versions : null;
  if (here) newJob();
  else set({ jobs: listed() });
  return () => {
    keep(localStorage, DRAFT_AT + id, draft);
    keep(localStorage, LIST_AT, [record, ...listed()]);
    if (here) {
      enter(id, here.now, record.notes);
      set({ versions: here });
    } else {
      set({ jobs: listed() });
    }
  };
}

/** Whether another tab works on a job: it answers at once where it does. */
function isOpenElsewhere(id) {
  if (!line) return Promise.resolve(false);
  return new Promise((resolve) => {
    const ask = newId();
    const hear = ({ data }) => { if (data.answers === ask) end(true); };
    const end = (found) => {
      line.removeEventListener("message", hear);
      resolve(found);
    };
    line.addEventListener("message", hear);
    line.postMessage({ asks: ask, job: id });
    setTimeout(() => end(false), ASK_MS);
  });
}

line?.addEventListener("message", ({ data }) => {
  if (data.asks && data.job === state.job?.id) line.postMessage({ answers: data.asks });
});
globalThis.addEventListener?.("storage", (event) => {
  if (event.key === LIST_AT) set({ jobs: listed() });
});

/** The job that this tab begins with: its own from before, else the last one, if no tab has it. */
export async function beginJob() {
  const former = readOf(localStorage, FORMER_AT);
  if (former?.brief?.room?.walls?.length && former.brief.needs) {
    const id = newId();
    keep(localStorage, DRAFT_AT + id, former);
    keep(localStorage, LIST_AT, [{ id, name: former.brief.name, notes: "", changed: Date.now() }, ...listed()]);
    drop(localStorage, FORMER_AT);
  }
  const own = readOf(sessionStorage, TAB_AT);
  const id = own ?? listed()[0]?.id;
  const draft = id ? draftAt(id) : null;
  if (!draft) return newJob();
  const notes = listed().find((one) => one.id === id)?.notes;
  if (!(await isOpenElsewhere(id))) return enter(id, draft, notes);
  // A tab duplicated by the browser goes on with a copy; a fresh one begins anew.
  return own ? newJob(draft, notes) : newJob();
}
