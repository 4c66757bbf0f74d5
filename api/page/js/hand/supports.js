// What keeps the boards of a bay from sagging between its ends: mid supports on studs, stiffeners.

import { notify, state } from "../store.js";
import { bayCalled, change } from "./editor.js";
import { wallCalled } from "./walls.js";

const STUD_SPACING = { in: 16, mm: 400 };

/** Where the studs of a wall are, or are taken to be: 16 in (400 mm) on centre from its left end. */
function studsOf(wall, length) {
  const { studs } = wall;
  if (studs?.positions?.length) return studs.positions;
  const spacing = studs?.spacing ?? STUD_SPACING[state.study.brief.units];
  const first = studs?.first ?? spacing;
  return Array.from({ length: Math.max(0, Math.ceil((length - first) / spacing)) }, (_, index) => first + index * spacing);
}

/** Carry a bay once more: on the stud nearest to the middle of its longest free piece. */
export function addSupport(id) {
  const bay = bayCalled(id);
  const wall = wallCalled(bay.wall);
  const held = [bay.start, ...(bay.mid_supports ?? []), bay.start + bay.width];
  const pieces = held.slice(1).map((end, index) => [held[index], end]).sort((a, b) => (b[1] - b[0]) - (a[1] - a[0]));
  const [from, to] = pieces[0];
  const middle = (from + to) / 2;
  const free = studsOf(wall, bay.start + bay.width).filter((stud) => stud > from && stud < to);
  if (!free.length) return notify("No stud is left behind that bay.");
  const at = free.reduce((best, stud) => (Math.abs(stud - middle) < Math.abs(best - middle) ? stud : best));
  return change("a mid support", (bays) => bays.map((one) =>
    (one.id === id ? { ...one, stiffened: false, mid_supports: [...(one.mid_supports ?? []), at].sort((a, b) => a - b) } : one)));
}

/** Boards with a stiffener along their front, or without; mid supports do the same and go. */
export const stiffen = (id) => change("stiffeners", (bays) => bays.map((bay) =>
  (bay.id === id ? { ...bay, stiffened: !bay.stiffened, mid_supports: [] } : bay)));

/** Take a mid support away. */
export const removeSupport = (id, place) => change("removing a mid support", (bays) => bays.map((bay) =>
  (bay.id === id ? { ...bay, mid_supports: bay.mid_supports.filter((one) => one !== place) } : bay)));
