// A layout as boxes in the room, and the order in which they are painted from where one stands.

import { rulesOf } from "../hand/stack.js";
import { heightsOf, lengthOf } from "../hand/walls.js";

const WAYS = [[1, 0], [0, 1], [-1, 0], [0, -1]];

/** Walls in plan [brief units, y down]: where each begins, its way, and the way into the room. */
export function wallsOf(room) {
  let [x, y, way] = [0, 0, 0];
  return room.walls.map((wall) => {
    const length = lengthOf(wall);
    const [dx, dy] = WAYS[way];
    const placed = { id: wall.id, from: [x, y], way: [dx, dy], inward: [-dy, dx], length, height: heightsOf(wall, room) };
    [x, y] = [x + dx * length, y + dy * length];
    way = (way + (wall.corner === "outside" ? 3 : 1)) % 4;
    return placed;
  });
}

/** A box from `along`, `out` and `up` of a wall, in the room: {kind, low: [x, y, z], high: [x, y, z]}. */
function box(wall, kind, [a0, a1], [o0, o1], [z0, z1]) {
  const at = (a, o) => [0, 1].map((axis) => wall.from[axis] + wall.way[axis] * a + wall.inward[axis] * o);
  const [p, q] = [at(a0, o0), at(a1, o1)];
  return {
    kind,
    low: [Math.min(p[0], q[0]), Math.min(p[1], q[1]), Math.min(z0, z1)],
    high: [Math.max(p[0], q[0]), Math.max(p[1], q[1]), Math.max(z0, z1)],
  };
}

/** Everything that stands in the room: uprights, boards, rods, things, clothes as a veil. */
export function boxesOf(brief, bays) {
  const rules = rulesOf(brief);
  const walls = new Map(wallsOf(brief.room).map((wall) => [wall.id, wall]));
  const sizes = new Map(brief.needs.items.map((item) => [item.id, item]));
  const seen = new Set();
  return bays.flatMap((bay) => bayBoxes(walls.get(bay.wall), bay, rules, sizes, seen));
}

function bayBoxes(wall, bay, rules, sizes, seen) {
  const [start, end] = [bay.start, bay.start + bay.width];
  const found = [];
  const upright = (at) => {
    const key = `${wall.id} ${at.toFixed(2)}`;
    if (!seen.has(key)) found.push(box(wall, "panel", [at, at + rules.board], [0, bay.depth], [0, bay.height]));
    seen.add(key);
  };
  if ((bay.left ?? "upright") === "upright") upright(start - rules.board);
  if ((bay.right ?? "upright") === "upright") upright(end);
  for (const zone of bay.zones) {
    const depth = zone.depth ?? bay.depth;
    if (zone.kind === "shelf") found.push(box(wall, "board", [start, end], [0, depth], [zone.bottom - rules.board, zone.bottom]));
    if (zone.kind === "rod") found.push(...hanging(wall, zone, [start, end], depth, rules));
    let along = start;
    for (const item of zone.items) {
      const size = sizes.get(item);
      if (!size) continue;
      found.push(box(wall, "thing", [along, along + size.width], [0.5 * rules.per, 0.5 * rules.per + size.depth], [zone.bottom, zone.bottom + size.height]));
      along += size.width + rules.board;
    }
  }
  return found;
}

function hanging(wall, zone, span, depth, { per, board, drop }) {
  const out = depth / 2;
  const bottom = Math.max(0, zone.rod_height - drop[zone.hang]);
  return [
    box(wall, "rod", span, [out - 0.6 * per, out + 0.6 * per], [zone.rod_height - 0.6 * per, zone.rod_height + 0.6 * per]),
    box(wall, "clothes", [span[0] + 2 * board, span[1] - 2 * board], [out - 7 * per, out + 7 * per], [bottom, zone.rod_height - per]),
  ];
}

const FINE = 1e-6;

/**
 * Whether `one` must be painted before `other`, seen along `view` (from the eye into the room): a
 * plane between them that is square to an axis says which lies behind.
 */
function behind(one, other, view) {
  return [0, 1, 2].some((axis) => {
    if (Math.abs(view[axis]) < FINE) return false;
    return view[axis] > 0 ? one.low[axis] >= other.high[axis] - FINE : one.high[axis] <= other.low[axis] + FINE;
  });
}

/** The boxes from the farthest to the nearest, so that each covers what it hides. */
export function paintedInOrder(boxes, view) {
  const before = boxes.map((one, index) => boxes.flatMap((other, place) =>
    (place !== index && behind(other, one, view) && !behind(one, other, view) ? [place] : [])));
  const done = new Set();
  const order = [];
  const visit = (index, path) => {
    if (done.has(index) || path.has(index)) return;
    path.add(index);
    for (const other of before[index]) visit(other, path);
    path.delete(index);
    done.add(index);
    order.push(boxes[index]);
  };
  boxes.forEach((_, index) => visit(index, new Set()));
  return order;
}
