// Walls of a study's room: how long, how high, and which meet in inside corners.

import { state } from "../store.js";

const NEAR_IN = 1;
const WAYS = [[1, 0], [0, 1], [-1, 0], [0, -1]];

/** Length of a wall: of several readings the least. */
export const lengthOf = (wall) => (Array.isArray(wall.length) ? Math.min(...wall.length) : wall.length);

/** Height of a wall at its ends. */
export function heightsOf({ height }, { ceiling_height: ceiling }) {
  if (height !== null && typeof height === "object") return [height.left, height.right];
  return [height ?? ceiling, height ?? ceiling];
}

/** The wall of that name in the room of the study. */
export const wallCalled = (id) => state.study.brief.room.walls.find((wall) => wall.id === id);

/** Whether the walls of a room come back to where they began. */
function closed({ room: { walls }, units }) {
  let [x, y, way] = [0, 0, 0];
  for (const wall of walls) {
    x += WAYS[way][0] * lengthOf(wall);
    y += WAYS[way][1] * lengthOf(wall);
    way = (way + (wall.corner === "outside" ? 3 : 1)) % 4;
  }
  return walls.length > 3 && Math.hypot(x, y) <= NEAR_IN * (units === "mm" ? 25.4 : 1);
}

/** The wall that meets an end of a wall ("left" or "right") at an inside corner, or null. */
export function besideOf(wallId, side) {
  const { brief } = state.study;
  const { walls } = brief.room;
  const at = walls.findIndex((wall) => wall.id === wallId);
  const next = side === "right" ? at + 1 : at - 1;
  if ((next < 0 || next >= walls.length) && !closed(brief)) return null;
  const before = walls.at(side === "right" ? at : next);
  return before.corner === "outside" ? null : walls.at(next % walls.length);
}
