// Kinds of bay to choose from, each made from its top board down.

/** A rod under what has its underside at `top`, hung as high as it may. */
const under = (top, hang, rules) => ({ at: top - rules.overRod, hang, depth: null });

const lowest = (rod, rules) => rod.at - rules.drop[rod.hang];

/** Tops of boards from the line down, as far as `least`. */
function levels(line, least, rules) {
  const found = [];
  for (let level = line; level >= least - 1e-6; level -= rules.pitch) found.unshift(level);
  return found;
}

const board = (at, rules) => ({ at, depth: rules.shelfDepth, items: [], stored: [] });
const boards = (tops, rules) => tops.map((top) => board(top, rules));

/** One rod under the lowest of as many boards as leave the clothes their length. */
function hung(hang, line, rules, most = Infinity) {
  const fits = (top) => top - rules.board - rules.overRod - rules.drop[hang] >= rules.underClothes;
  const tops = levels(line, 0, rules).filter(fits).slice(-most);
  if (!tops.length) return null;
  return { boards: boards(tops, rules), rods: [under(tops[0] - rules.board, hang, rules)] };
}

function double(line, rules) {
  const upper = under(line - rules.board, "short", rules);
  const lower = under(lowest(upper, rules), "short", rules);
  return { boards: boards([line], rules), rods: [upper, lower] };
}

const OVER_FLOOR_PITCHES = 2;

/** Each kind: its name and what it makes under a line; null where there is no room for it. */
export const KINDS = {
  double: ["Two rods, short hang", double],
  short: ["Short hang over open floor", (line, rules) => hung("short", line, rules, 1)],
  short_shelves: ["Short hang under shelves", (line, rules) => hung("short", line, rules)],
  medium: ["Medium hang", (line, rules) => hung("medium", line, rules, 1)],
  long: ["Long hang", (line, rules) => hung("long", line, rules, 1)],
  shelves: ["Shelves from the floor", (line, rules) => ({ boards: boards(levels(line, rules.pitch / 2, rules), rules), rods: [] })],
  shelves_floor: ["Shelves over open floor", (line, rules) =>
    ({ boards: boards(levels(line, OVER_FLOOR_PITCHES * rules.pitch, rules), rules), rods: [] })],
};

/** The kind that a bay looks like, or "". */
export function kindOf({ rods, boards: held, floor }) {
  if (!rods.length) return floor.items.length || held.at(0)?.at > 20 ? "shelves_floor" : "shelves";
  if (rods.length > 1) return rods.every((rod) => rod.hang === "short") ? "double" : "";
  const [{ hang }] = rods;
  return hang === "short" && held.length > 1 ? "short_shelves" : hang;
}
