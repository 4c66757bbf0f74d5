// What the page knows, and the one way to change it.

/** The page's state. `draft` is kept on this machine; the rest comes from the service. */
export const state = {
  draft: null,
  wall: 0,
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
  large: null,
  drawings: new Map(),
  views: new Map(),
  packs: new Map(),
  route: { view: "brief" },
};

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

/** Change the state and draw. */
export function set(changes) {
  Object.assign(state, changes);
  redraw();
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
