// Names and lengths of walls in the plan, each where it covers neither a wall, a door nor another.

import { html, nothing, svg } from "../vendor/lit-html/lit-html.js";
import { show } from "./lengths.js";
import { at } from "./room.js";

const MOST_LETTERS = 16;
const [LETTER, LINE] = [8.6, 18];
const LARGE = 26 / 15;
const [OFF, MARK] = [26, 12];
const PLACES = [0.5, 0.3, 0.7, 0.2, 0.8];
const SWEPT = { hinged_out: [-1, 0], hinged_in: [0, 1], bifold: [-0.2, 0], sliding: [-0.05, 0.05], cased: [-0.02, 0.02] };

/** How much larger letters are on a small screen, where the drawing is shown smaller. */
const enlargement = () => (matchMedia("(max-width: 40rem)").matches ? LARGE : 1);

/** A wall's name, cut where it would run out of the drawing. */
export const shortName = (name) => (name.length > MOST_LETTERS ? `${name.slice(0, MOST_LETTERS - 1)}…` : name);

const sizeOf = (room, wall) => (wall.known ? show(wall.length, room.units) : "?");

/** Whether a wall's name and length would run into those of its neighbours. */
const isShort = (room, wall, scale) =>
  LETTER * enlargement() * (shortName(wall.id).length + sizeOf(room, wall).length + 1) > wall.length * scale + 2 * LETTER;

const boxOf = (points, edge = 0) => {
  const [xs, ys] = [points.map(([x]) => x), points.map(([, y]) => y)];
  return [Math.min(...xs) - edge, Math.min(...ys) - edge, Math.max(...xs) + edge, Math.max(...ys) + edge];
};

const meet = (a, b) => a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];

/** What is drawn already: walls, what the leaves of doors sweep, things that stand out. */
function taken(room, view) {
  const along = ({ wall, start, width }, near, far) =>
    boxOf([view.to(at(wall, start, near)), view.to(at(wall, start + width, far))], 2);
  return [
    ...room.walls.map((wall) => boxOf([view.to(wall.from), view.to(wall.to)], 5)),
    ...room.openings.map((thing) => along(thing, ...(SWEPT[thing.kind] ?? [0, 0]).map((share) => share * thing.width))),
    ...room.obstructions.map((thing) => along(thing, 0, Math.max(thing.projection, 5 / view.scale))),
  ];
}

/** Labels of all walls as drawn, and under the plan the names of those that have only a number. */
export function wallLabels(room, view) {
  const full = taken(room, view);
  const numbered = [];
  const drawn = room.walls.map((wall) => {
    const found = isShort(room, wall, view.scale) ? null : freeSpot(textSpots(room, wall, view), view, full);
    if (found) {
      full.push(found.box);
      return text(room, wall, found.spot);
    }
    numbered.push(wall);
    const spots = markSpots(wall, view);
    const free = freeSpot(spots, view, full) ?? spots[0];
    full.push(free.box);
    return mark(wall, ...free.spot);
  });
  return { drawn, key: wallKey(room, numbered) };
}

/** The first place that covers nothing, or none. */
function freeSpot(spots, view, full) {
  const inSheet = ([left, top, right, bottom]) => left >= 0 && top >= 0 && right <= view.wide && bottom <= view.high;
  return spots.find(({ box }) => inSheet(box) && !full.some((other) => meet(box, other)));
}

/** Places along a wall and so far out of it: outside before inside, the middle before the ends. */
const spotsAt = (wall, view, offs, half) => PLACES.flatMap((share) => offs.map((off) => {
  const [x, y] = view.to(at(wall, wall.length * share));
  const [cx, cy] = [x + wall.inward[0] * off, y + wall.inward[1] * off];
  return { spot: [cx, cy], box: [cx - half[0], cy - half[1], cx + half[0], cy + half[1]] };
}));

function textSpots(room, wall, view) {
  const letters = LETTER * enlargement() * (shortName(wall.id).length + sizeOf(room, wall).length + 1);
  const half = wall.way[0] === 0 ? [LINE * enlargement(), letters] : [letters, LINE * enlargement()];
  return spotsAt(wall, view, [-OFF, OFF], half.map((size) => size / 2));
}

/** A mark stands inside the room first: behind a duct or a breast there is no place. */
function markSpots(wall, view) {
  const round = MARK * (enlargement() > 1 ? 16 / 12 : 1);
  return spotsAt(wall, view, [20, 34, -20, 48, -34, 62, 76], [round, round]);
}

function text(room, wall, [x, y]) {
  const turn = wall.way[0] === 0 ? `rotate(-90 ${x} ${y})` : "";
  return svg`<text class="size ${wall.known ? "" : "ghost"}" x=${x} y=${y} transform=${turn}
    text-anchor="middle" dominant-baseline="middle"><tspan class="name">${shortName(wall.id)}</tspan> ${sizeOf(room, wall)}</text>`;
}

const mark = (wall, x, y) => svg`<g class="mark-no"><circle cx=${x} cy=${y} r="12"></circle>
  <text x=${x} y=${y} text-anchor="middle" dominant-baseline="central">${wall.index + 1}</text></g>`;

function wallKey(room, numbered) {
  if (!numbered.length) return nothing;
  return html`<p class="caption">${numbered.map((wall) => html`<b>${wall.index + 1}</b> ${wall.id} ${sizeOf(room, wall)}  `)}</p>`;
}
