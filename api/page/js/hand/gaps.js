// Wall that nothing holds yet, and a bay put there.

import { announce, state } from "../store.js";
import { bayAround } from "./corners.js";
import { change, freeName, handLayout, LEAST_WIDTH, rules, show } from "./editor.js";
import { KINDS } from "./kinds.js";
import { bayOf } from "./stack.js";
import { besideOf, heightsOf, lengthOf, wallCalled } from "./walls.js";

const TOUCH = 1e-3;
const TOP_IN = 84;
const FIRST_KIND = "shelves_floor";

/** What takes a piece of a wall: [from, to] of bays with their uprights, of ways in, of what hangs there. */
function taken(wallId) {
  const { board } = rules();
  const { room } = state.study.brief;
  const { bays, mounts } = handLayout();
  const on = (list) => list.filter((one) => one.wall === wallId);
  return [
    ...on(bays).map((bay) => [bay.start - (bay.left === "upright" ? board : 0), bay.start + bay.width + (bay.right === "upright" ? board : 0)]),
    ...on(room.openings).map(({ start, width, casing = 0 }) => [start - casing, start + width + casing]),
    ...on(mounts).map(({ start, width }) => [start, start + width]),
  ].sort((a, b) => a[0] - b[0]);
}

/** How far from an end of a wall the bay round its corner reaches, with the opening left beside it. */
function cornerTaken(wallId, side) {
  const around = bayAround(handLayout().bays, wallId, side);
  if (!around) return 0;
  return around.depth + state.study.brief.construction.corner_opening;
}

/** Free pieces of a wall from left to right, wide enough for a bay: {from, to}. */
export function gapsOf(wallId) {
  const { per, board } = rules();
  const whole = lengthOf(wallCalled(wallId));
  const last = whole - cornerTaken(wallId, "right");
  const found = [];
  let from = cornerTaken(wallId, "left");
  for (const [start, end] of [...taken(wallId), [last, last]]) {
    const to = Math.min(start, last);
    if (to - from >= LEAST_WIDTH * per + 2 * board) found.push({ from, to });
    from = Math.max(from, end);
  }
  return found;
}

/** How high a wall is at its lowest. */
const clearOf = (wallId) => Math.min(...heightsOf(wallCalled(wallId), state.study.brief.room));

/** The height that a new bay's top board has: its wall's line, the room's, or a usual one. */
function lineOf(wallId) {
  const { per } = rules();
  const { bays } = handLayout();
  const own = bays.filter((bay) => bay.wall === wallId);
  const tops = (own.length ? own : bays).map((bay) => bay.height);
  // Over the top board stays as much clear as over any shelf.
  const most = clearOf(wallId) - state.study.brief.construction.min_shelf_clear;
  return Math.min(Math.max(...(tops.length ? tops : [TOP_IN * per])), most);
}

/** What carries the ends of a bay that fills a gap, and where they lie. */
function endsOf(wallId, { from, to }) {
  const { board } = rules();
  const { construction } = state.study.brief;
  const bays = handLayout().bays.filter((bay) => bay.wall === wallId);
  const whole = lengthOf(wallCalled(wallId));
  const side = (name, at, atEnd, shared) => {
    const inward = name === "left" ? 1 : -1;
    if (shared) return { carried: "upright", at };
    if (atEnd && construction.wall_ends === "cleats" && besideOf(wallId, name)) return { carried: "wall", at };
    return { carried: "upright", at: at + inward * board };
  };
  const meets = (bay, name, at) => bay[name] === "upright"
    && Math.abs((name === "right" ? bay.start + bay.width + board : bay.start - board) - at) < TOUCH;
  return [
    side("left", from, from < TOUCH, bays.some((bay) => meets(bay, "right", from))),
    side("right", to, whole - to < TOUCH, bays.some((bay) => meets(bay, "left", to))),
  ];
}

/** Put a bay of shelves into a gap, as wide as boards reach without a support. */
export function addBay(wallId, gap) {
  const { step, shelfDepth } = rules();
  const { construction } = state.study.brief;
  const [left, right] = endsOf(wallId, gap);
  const most = construction.max_plain_span;
  const wide = right.at - left.at;
  const width = wide > most ? Math.floor(most / step) * step : wide;
  const height = lineOf(wallId);
  const id = freeName(wallId);
  const made = KINDS[FIRST_KIND][1](height, rules());
  const bay = bayOf({
    id, wall: wallId, start: Number(left.at.toFixed(6)), width: Number(width.toFixed(6)), depth: shelfDepth, height, pattern: "",
    stiffened: false, mid_supports: [], left: left.carried, right: width < wide ? "upright" : right.carried, zones: [],
  }, { ...made, roof: clearOf(wallId), floor: { items: [], stored: [], depth: null } }, rules());
  change(`bay ${id}`, (bays) => [...bays, bay]);
  show({ picked: id, wall: wallId });
  announce(`Bay ${id} is there, of shelves. Choose its kind.`);
}
