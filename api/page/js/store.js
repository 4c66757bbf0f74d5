// What the page knows, and the one way to change it: `set`. The state is never changed in place.

/** The page's state. `draft` is kept on this machine; the rest comes from the service. */
export let state = Object.freeze({
  fresh: false,
  job: null,
  jobs: [],
  versions: null,
  draft: null,
  wall: 0,
  unfolded: new Map(),
  shown: null,
  touched: new Set(),
  showAll: false,
  check: { status: "idle", errors: [], warnings: [] },
  online: navigator.onLine,
  notice: null,
  needsKey: false,
  scenarios: [],
  limits: null,
  sending: false,
  study: null,
  missing: null,
  progress: null,
  progressAt: 0,
  handed: null,
  ranges: null,
  reconnecting: false,
  weights: null,
  family: [],
  chosen: [],
  comparison: null,
  kept: new Map(),
  released: new Set(),
  preference: new Map(),
  stay: false,
  picture: "walls",
  stand: null,
  bigWall: new Map(),
  large: null,
  prices: null,
  hand: null,
  route: { view: "brief" },
});

let paint = () => {};
let waiting = false;

/** Say what draws the page. */
export function onChange(painter) {
  paint = painter;
}

/** Draw the page anew before the next frame. */
export function redraw() {
  if (waiting) return;
  waiting = true;
  queueMicrotask(() => {
    waiting = false;
    paint();
  });
}

/** Put other values in the place of some, and draw. */
export function set(changes) {
  state = Object.freeze({ ...state, ...changes });
  redraw();
}

/** A map with one entry more or changed. */
export const withEntry = (map, key, value) => new Map(map).set(key, value);

/** A map or set with one key less. */
export function without(collection, key) {
  const copy = new collection.constructor(collection);
  copy.delete(key);
  return copy;
}

/**
 * Tell the person something in the strip at the foot of the window, which is always in view.
 * `act` is what can be done about it: a name and a function.
 */
export function notify(text, act = null) {
  set({ notice: text ? { text, act } : null });
}

let speak = () => {};

/** Say where announcements go. */
export function onAnnounce(speaker) {
  speak = speaker;
}

/** Tell screen readers, without moving the focus. */
export function announce(text) {
  speak(text);
}
