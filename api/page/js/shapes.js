// Rooms to start from: walls clockwise, as one turns while standing inside.
// `ghost` is a length drawn in pencil until the real one is typed; none of them is sent.

const wall = (id, ghost, corner = "inside") => ({ id, length: "", corner, ghost });
const door = (wallId, kind) => ({ wall: wallId, kind, start: "", width: "", height: "" });

/** Each shape: its name, what it is, its walls and openings. Ghost lengths are inches. */
export const SHAPES = {
  reach_in: {
    title: "Reach-in",
    text: "You stand outside and reach in through the doors",
    walls: () => [wall("Back", 72), wall("Right", 25), wall("Front", 72), wall("Left", 25)],
    openings: () => [door("Front", "bifold")],
  },
  walk_in: {
    title: "Walk-in",
    text: "Four walls and a door you walk through",
    walls: () => [wall("Back", 84), wall("Right", 96), wall("Front", 84), wall("Left", 96)],
    openings: () => [door("Front", "hinged_out")],
  },
  l_shape: {
    title: "L-shaped walk-in",
    text: "Six walls, one corner that juts in",
    walls: () => [
      wall("Back", 120), wall("Right", 60), wall("Inner front", 48, "outside"), wall("Inner side", 48),
      wall("Front", 72), wall("Left", 108),
    ],
    openings: () => [door("Front", "hinged_out")],
  },
  corner: {
    title: "Corner",
    text: "Two walls that meet, open to the room",
    walls: () => [wall("Left", 72), wall("Right", 84)],
    openings: () => [],
  },
  alcove: {
    title: "Alcove",
    text: "A wall between two short ones, open in front",
    walls: () => [wall("Left", 26), wall("Back", 72), wall("Right", 26)],
    openings: () => [],
  },
  one_wall: {
    title: "One wall",
    text: "A straight run along a single wall",
    walls: () => [wall("Wall", 96)],
    openings: () => [],
  },
};

const WALK_IN_FROM_IN = 48;

const cornersOf = (walls) => walls.map((one) => one.corner ?? "inside").join();

/** The same corners begun at each wall: a room all round has no first wall of its own. */
function turned(corners) {
  const all = corners.split(",");
  return all.length < 4 ? [corners] : all.map((_, at) => [...all.slice(at), ...all.slice(0, at)].join());
}

/**
 * The shape that a room looks like, or "own": `depth` is the room's behind its opening [in]. What it
 * was `begun` as it stays while its corners allow: half a typed length makes no other room of it.
 */
export function shapeOf(room, depth, begun = null) {
  const corners = cornersOf(room.walls);
  if (begun !== null && cornersOf(SHAPES[begun].walls()) === corners) return begun;
  const found = Object.entries(SHAPES).find(([, shape]) => turned(cornersOf(shape.walls())).includes(corners));
  if (!found) return "own";
  if (found[0] !== "reach_in") return found[0];
  return depth >= WALK_IN_FROM_IN ? "walk_in" : "reach_in";
}

/** Whether opposite walls must be equally long, so that one may be left blank. */
export const isRectangle = (walls) =>
  walls.length === 4 && walls.every((one) => (one.corner ?? "inside") === "inside");
