// Ends of bays at the corners of a room: carried by an upright, by the side wall, or by the boards
// of the next wall, which run through. A change at a corner is one step for both walls.

import { state } from "../store.js";
import { change, handLayout, rules } from "./editor.js";
import { besideOf, lengthOf, wallCalled } from "./walls.js";

const NEAR_IN = 0.5;
const OTHER = { left: "right", right: "left" };

const WORDS = { wall: "Side wall: runs to the corner", corner: "Boards round the corner" };

const rowOf = (bays, wall) => bays.filter((bay) => bay.wall === wall).sort((a, b) => a.start - b.start);

/** The outermost bay of a wall on one side, or null. */
export function endBay(bays, wall, side) {
  const row = rowOf(bays, wall);
  return (side === "left" ? row[0] : row.at(-1)) ?? null;
}

/** The bay of the next wall that stands in the corner at an end of a wall, or null. */
export function bayAround(bays, wallId, side) {
  const wall = besideOf(wallId, side);
  const bay = wall && endBay(bays, wall.id, OTHER[side]);
  if (!bay) return null;
  if (bay[OTHER[side]] === "corner") return bay;
  const { board, per } = rules();
  const gap = side === "right" ? bay.start : lengthOf(wall) - bay.start - bay.width;
  const own = bay[OTHER[side]] === "upright" ? board : 0;
  return gap - own <= NEAR_IN * per ? bay : null;
}

/** What may carry an end of a bay, in words; one choice where it is not in a corner. */
export function endChoices(bay, side) {
  const { construction } = state.study.brief;
  const wall = besideOf(bay.wall, side);
  const outermost = endBay(handLayout().bays, bay.wall, side) === bay;
  const choices = { upright: "An upright" };
  if (!wall || !outermost || construction.wall_ends !== "cleats") return bay[side] === "upright" ? choices : { ...choices, [bay[side]]: WORDS[bay[side]] };
  choices.wall = WORDS.wall;
  if (endBay(handLayout().bays, wall.id, OTHER[side])) choices.corner = WORDS.corner;
  return choices;
}

const round = (value) => Number(value.toFixed(6));

/** The bay with one end put elsewhere. */
function ended(bay, side, carried, place) {
  const end = bay.start + bay.width;
  const [from, to] = side === "left" ? [place, end] : [bay.start, place];
  return {
    ...bay, [side]: carried, start: round(from), width: round(to - from),
    mid_supports: (bay.mid_supports ?? []).filter((at) => at > from && at < to),
  };
}

/** Where an end of a bay lies that is carried so: `deep` is how far the boards round the corner reach. */
function placeOf(bay, side, carried, deep) {
  const { board } = rules();
  const whole = lengthOf(wallCalled(bay.wall));
  const off = carried === "wall" ? 0 : carried === "corner" ? deep : null;
  if (off !== null) return side === "left" ? off : whole - off;
  // An upright takes its thickness from the end that it now holds.
  const end = side === "left" ? bay.start : bay.start + bay.width;
  if (bay[side] === "upright") return end;
  return side === "left" ? end + board : end - board;
}

const depthOf = (bay) => Math.max(0, ...bay.zones.filter((zone) => zone.kind === "shelf").map((zone) => zone.depth ?? bay.depth)) || bay.depth;

/** Let an end of a bay be carried by something else; the bay round the corner gives way or runs on. */
export function carry(bay, side, carried) {
  if (bay[side] === carried) return;
  const wall = besideOf(bay.wall, side);
  change(`what carries ${bay.id}`, (bays) => {
    const around = wall && endBay(bays, wall.id, OTHER[side]);
    const mine = ended(bay, side, carried, placeOf(bay, side, carried, around ? depthOf(around) : 0));
    const theirs = around && aroundOf(around, OTHER[side], carried, mine);
    return bays.map((one) => (one.id === bay.id ? mine : one.id === theirs?.id ? theirs : one));
  });
}

/** What becomes of the bay round the corner: it runs through where this one butts, butts where this runs through. */
function aroundOf(around, side, carried, mine) {
  if (carried === "corner" && around[side] !== "wall") return ended(around, side, "wall", placeOf(around, side, "wall", 0));
  if (carried === "wall" && around[side] === "wall") return ended(around, side, "corner", placeOf(around, side, "corner", depthOf(mine)));
  return null;
}
