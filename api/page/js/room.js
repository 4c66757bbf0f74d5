// The room's geometry for the page's own drawing, in the draft's units.

import { filledWalls, lengthOf } from "./draft.js";
import { MM_PER_INCH } from "./lengths.js";

const WAYS = [[1, 0], [0, 1], [-1, 0], [0, -1]];

/**
 * The room as drawn while typing: walls with ends on screen (y down), ways, heights and what is
 * on them. A wall not measured yet has a pencilled length, and `known` false.
 */
export function roomOf(draft) {
  const { units, room } = draft.brief;
  const per = units === "mm" ? MM_PER_INCH : 1;
  const ceiling = lengthOf(room.ceiling_height, units);
  const walls = measured(filledWalls(room.walls), units, per);
  lay(walls);
  for (const [index, wall] of walls.entries()) {
    wall.heights = heightsOf(room.walls[index], ceiling ?? 96 * per, units);
  }
  return {
    units, per, walls, ceiling: ceiling ?? 96 * per, ceilingKnown: ceiling !== null,
    openings: things(room.openings, walls, units, per, { width: 30, height: 80, bottom: 0 }),
    obstructions: things(room.obstructions, walls, units, per, { width: 5, height: 5, bottom: 12 }),
    keepClear: things(room.keep_clear, walls, units, per, { width: 30, height: 78, bottom: 0, depth: 30 }),
  };
}

function measured(walls, units, per) {
  return walls.map((wall, index) => {
    const length = lengthOf(wall.length, units);
    const across = walls[(index + 2) % 4];
    const ghost = (wall.ghost ?? across?.ghost ?? 60) * per;
    return { id: wall.id, index, corner: wall.corner ?? "inside", length: length ?? ghost, known: length !== null };
  });
}

/** Lay the walls out: the first runs along the top, as in the drawings of layouts. */
function lay(walls) {
  let [x, y, way] = [0, 0, 0];
  for (const wall of walls) {
    const [dx, dy] = WAYS[way];
    wall.way = [dx, dy];
    // The room lies to the right of a walk along the walls; on screen y runs down.
    wall.inward = [-dy, dx];
    wall.from = [x, y];
    x += dx * wall.length;
    y += dy * wall.length;
    wall.to = [x, y];
    way = (way + (wall.corner === "outside" ? 3 : 1)) % 4;
  }
}

function heightsOf(wall, ceiling, units) {
  const height = wall.height;
  if (height !== null && typeof height === "object") {
    return [lengthOf(height.left, units) ?? ceiling, lengthOf(height.right, units) ?? ceiling];
  }
  const level = lengthOf(height, units) ?? ceiling;
  return [level, level];
}

function things(list, walls, units, per, usual) {
  return (list ?? []).map((thing, index) => {
    const wall = walls.find((one) => one.id === thing.wall);
    if (!wall) return null;
    const read = (name) => lengthOf(thing[name], units);
    const width = Math.min(read("width") ?? usual.width * per, wall.length);
    return {
      index, wall, kind: thing.kind, hinge: thing.hinge ?? "left", width,
      known: read("start") !== null && read("width") !== null,
      start: read("start") ?? Math.max(0, (wall.length - width) / 2),
      bottom: read("bottom") ?? usual.bottom * per,
      height: read("height") ?? usual.height * per,
      setback: read("setback") ?? 0, projection: read("projection") ?? 0,
      casing: read("casing") ?? 0, depth: read("depth") ?? (usual.depth ?? 0) * per, why: thing.why ?? "",
    };
  }).filter(Boolean);
}

/** How deep the room is behind its first opening [in]. */
export function depthOf(room) {
  const wall = room.openings[0]?.wall ?? room.walls[0];
  const next = room.walls[(wall.index + 1) % room.walls.length];
  return next.length / room.per;
}

/** The point on plan at `along` a wall and `out` from it. */
export function at(wall, along, out = 0) {
  return [
    wall.from[0] + wall.way[0] * along + wall.inward[0] * out,
    wall.from[1] + wall.way[1] * along + wall.inward[1] * out,
  ];
}

/** Least and greatest x and y of all walls, and of other points that must be seen. */
export function extents(walls, others = []) {
  const points = [...walls.flatMap((wall) => [wall.from, wall.to]), ...others];
  const [xs, ys] = [points.map((point) => point[0]), points.map((point) => point[1])];
  return { left: Math.min(...xs), right: Math.max(...xs), top: Math.min(...ys), bottom: Math.max(...ys) };
}

/** Whether the walls come back to where they began, within 1/2 in. */
export function closes(room) {
  const last = room.walls.at(-1);
  return room.walls.length > 3 &&
    Math.abs(last.to[0]) <= 0.5 * room.per && Math.abs(last.to[1]) <= 0.5 * room.per;
}
