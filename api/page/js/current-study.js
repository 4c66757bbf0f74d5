// A study as it runs and once it is there: read, followed, cancelled, run again.

import { follow } from "./events.js";
import { capital } from "./faults.js";
import { go, amend } from "./router.js";
import { dropPacks } from "./pack/packs.js";
import { dropDrawings } from "./drawings.js";
import * as service from "./service.js";
import { noteStudy } from "./recent-studies.js";
import { announce, notify, redraw, set, state, withEntry, without } from "./store.js";
import { FIRST_WEIGHTS } from "./stock.js";

let following = null;

/** Show the study of that id: read it, and follow it if it still runs. */
export async function open(id, compare) {
  if (state.study?.id === id) {
    choose(compare);
    return;
  }
  following?.abort();
  following = new AbortController();
  const { signal } = following;
  dropDrawings();
  dropPacks();
  const handed = state.handed?.id === id ? state.handed : null;
  set({
    handed: null, study: handed, weights: handed ? { ...FIRST_WEIGHTS, ...handed.brief.priorities } : null, missing: null, ranges: null, progress: null, reconnecting: false, comparison: null, family: [],
    kept: new Map(), released: new Set(), chosen: [], preference: new Map(),
  });
  try {
    const study = handed ?? (await service.getStudy(id));
    if (signal.aborted) return;
    take(study);
    set({ weights: { ...FIRST_WEIGHTS, ...study.brief.priorities } });
    noteStudy(study);
    choose(compare);
    lineage(id);
    if (study.state === "done") ranges(study);
    else await watch(id, signal);
  } catch (error) {
    if (!signal.aborted) set({ missing: error, needsKey: error.status === 401 });
  }
}

const take = (study, progress = study.progress) =>
  set({ study, progress: { ...progress }, progressAt: Date.now() });

/** A layout as its event brings it: shown at once, without reading the study anew. */
function takeLayout({ layout }) {
  const { study } = state;
  const before = study.layouts.find((one) => one.rank === layout.rank);
  const others = study.layouts.filter((one) => one !== before);
  holdFocus(`layout-${layout.rank}`);
  set({ study: { ...study, layouts: [...others, layout].sort((one, other) => one.rank - other.rank) } });
  const said = news(layout, before);
  if (said) announce(said);
}

/** What is said of a layout that takes the place of the one `before`, or of none. */
function news(layout, before) {
  if (layout.status === "provisional") {
    return before ? "" : "A first layout is there. It is provisional: the search for a better one goes on.";
  }
  if (before?.status === "provisional") return `Layout ${layout.rank} found, in place of the provisional one.`;
  return before ? "" : `Layout ${layout.rank} found.`;
}

/** Keep the focus on a card whose drawing, with the bay that had it, is about to be replaced. */
function holdFocus(id) {
  if (!document.getElementById(id)?.contains(document.activeElement)) return;
  requestAnimationFrame(() => {
    if (document.activeElement === document.body) document.getElementById(id)?.focus({ preventScroll: true });
  });
}

async function watch(id, signal) {
  const line = new AbortController();
  signal.addEventListener("abort", () => line.abort());
  const read = async () => {
    const study = await service.getStudy(id).catch(() => null);
    if (!study || line.signal.aborted) return;
    take(study, study.state === "done" ? study.progress : state.progress ?? study.progress);
    if (study.state !== "done") return;
    line.abort();
    finished(study);
  };
  const clock = setInterval(redraw, 1000);
  await follow(id, {
    signal: line.signal,
    onEvent(kind, data) {
      if (signal.aborted) return;
      if (kind === "progress") set({ progress: data, progressAt: Date.now() });
      if (kind === "state") set({ study: { ...state.study, state: data.state } });
      if (kind === "layout") takeLayout(data);
    },
    // Without events the study is read again and again, as often as the line is tried.
    onBreak(broken) {
      set({ reconnecting: broken });
      if (broken) read();
    },
  });
  clearInterval(clock);
  if (!line.signal.aborted) await read();
}

function finished(study) {
  const count = study.layouts.length;
  announce(`The search has ended with ${count === 1 ? "one layout" : `${count} layouts`}.`);
  lineage(study.id);
  ranges(study);
  if (!state.chosen.length) choose([]);
  else loadComparison();
}

async function lineage(id) {
  const found = await service.getLineage(id).catch(() => null);
  if (found && state.study?.id === id) set({ family: found.family });
}

async function ranges(study) {
  if (study.layouts.length < 2) return;
  const found = await service.getSensitivity(study.id).catch(() => null);
  if (found && state.study?.id === study.id) set({ ranges: found.ranges });
}

/** A refusal in a sentence, with when to try again where the service says so. */
export function later(error, detail = error.message) {
  const text = capital(detail.replace(/[.\s]*$/, "."));
  return error.retryAfter ? `${text} Try again in ${error.retryAfter} s.` : text;
}

/** Stop the search and keep the best so far. */
export async function stop() {
  try {
    await service.cancel(state.study.id);
    announce("Stopping.");
  } catch (error) {
    notify(error.message);
  }
}

/** Choose the layouts to compare, the first two without a word. */
export function choose(ranks) {
  const study = state.study;
  if (!study) return;
  const there = new Set(study.layouts.map((layout) => layout.rank));
  const wanted = (ranks ?? []).filter((rank) => there.has(rank));
  set({ chosen: wanted.length ? wanted : study.state === "done" ? [...there].slice(0, 2) : [] });
  loadComparison();
}

/** Put a layout into the comparison or take it out. */
export function toggle(rank) {
  const { chosen } = state;
  const next = chosen.includes(rank) ? chosen.filter((one) => one !== rank) : [...chosen, rank].sort((a, b) => a - b);
  if (next.length > 4) {
    notify("At most four layouts are compared at once.");
    return;
  }
  set({ chosen: next });
  amend({ view: "study", study: state.study.id, compare: next });
  loadComparison();
}

async function loadComparison() {
  const { study, chosen } = state;
  if (!study || chosen.length < 2) {
    set({ comparison: null });
    return;
  }
  const found = await service.compare(study.id, chosen).catch(() => null);
  if (state.study?.id === study.id && String(state.chosen) === String(chosen)) set({ comparison: found });
}

/** Whether a bay is kept in the next run: pinned by the brief or chosen now. */
export function isKept(layout, bay) {
  if (state.kept.has(`${layout.rank}/${bay.id}`)) return true;
  return pinOf(bay) !== undefined && !state.released.has(pinKey(bay));
}

const pinKey = (bay) => `${bay.wall}/${bay.start}/${bay.width}/${bay.pattern}`;
const pinOf = (bay) => state.study.brief.pins.find((pin) => pinKey(pin) === pinKey(bay));

/** Keep a bay in the next run, or let go of it. */
export function keep(layout, bay) {
  const key = `${layout.rank}/${bay.id}`;
  const { kept, released } = state;
  if (pinOf(bay) !== undefined) {
    const held = pinKey(bay);
    set({ released: released.has(held) ? without(released, held) : new Set(released).add(held) });
  } else {
    set({ kept: kept.has(key) ? without(kept, key) : withEntry(kept, key, { layout: layout.rank, bay: bay.id }) });
  }
  announce(`${bay.id} of layout ${layout.rank} ${isKept(layout, bay) ? "is kept in the next run" : "is free again"}.`);
}

/** Run the study again with a merge patch, what is kept staying where it is. */
export async function again(patch = {}, { stability = 0 } = {}) {
  const { study, kept, released } = state;
  const whole = released.size
    ? { ...patch, pins: study.brief.pins.filter((pin) => !released.has(pinKey(pin))) }
    : patch;
  set({ sending: true, notice: null });
  try {
    const made = await service.rerun(study.id, { patch: whole, pins: [...kept.values()], stability });
    announce("Running again.");
    set({ handed: made });
    go({ view: "study", study: made.id });
  } catch (error) {
    const detail = error.errors?.length ? error.errors.map((fault) => fault.detail).join(" ") : error.message;
    notify(`It was not run again. ${later(error, detail)}`);
    set({ needsKey: error.status === 401 });
  } finally {
    set({ sending: false });
  }
}

/** Ask which priorities would put a layout first. */
export async function prefer(rank) {
  try {
    const found = await service.getPreference(state.study.id, rank);
    set({ preference: withEntry(state.preference, rank, found) });
    announce(found.detail);
  } catch (error) {
    notify(error.message);
  }
}
