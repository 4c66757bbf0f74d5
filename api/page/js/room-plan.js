// The live plan: the room from above as it is being measured.

import { html, nothing, svg } from "../vendor/lit-html/lit-html.js";
import { show } from "./lengths.js";
import { movable } from "./drag.js";
import { wallLabels } from "./plan-labels.js";
import { at, closes, extents } from "./room.js";
import { set, state } from "./store.js";
import { OBSTRUCTIONS, OPENING_KINDS } from "./stock.js";

const WIDTH = 640;
const EDGE = 58;
const MOST_HEIGHT = 400;

/** The plan of a room with its walls, ways in and what is on the walls. */
export function roomPlan(room) {
  const size = extents(room.walls, room.openings.flatMap(outside));
  const [wide, high] = [size.right - size.left || 1, size.bottom - size.top];
  const scale = Math.min((WIDTH - 2 * EDGE) / wide, (MOST_HEIGHT - 2 * EDGE) / (high || 1));
  const height = Math.max(150, high * scale + 2 * EDGE);
  const origin = [(WIDTH - wide * scale) / 2 - size.left * scale, (height - high * scale) / 2 - size.top * scale];
  const view = { scale, wide: WIDTH, high: height, to: ([x, y]) => [origin[0] + x * scale, origin[1] + y * scale] };
  const labels = wallLabels(room, view);
  return html`<svg class="drawing plan" viewBox="0 0 ${WIDTH} ${Math.round(height)}" role="group"
      aria-label="Plan of the room as measured so far">
    ${floor(room, view)}
    ${room.keepClear.map((thing) => keptClear(thing, view))}
    ${room.walls.map((wall) => wallLine(room, wall, view))}
    ${room.openings.map((thing) => opening(thing, view))}
    ${room.obstructions.map((thing) => obstruction(thing, view))}
    ${labels.drawn}
  </svg>${labels.key}`;
}

/** How far a leaf comes out before the room, as a share of the door's width. */
const SWEPT = { hinged_out: 1, bifold: 0.2 };

/** Corners of the place before the room that a door's leaves reach. */
const outside = ({ kind, wall, start, width }) =>
  (SWEPT[kind] ? [at(wall, start, -width * SWEPT[kind]), at(wall, start + width, -width * SWEPT[kind])] : []);

const points = (list) => list.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join(" ");

function floor(room, view) {
  const ends = [...room.walls.map((wall) => view.to(wall.from)), view.to(room.walls.at(-1).to)];
  const openEnd = !closes(room) && state.check.errors.some((fault) => fault.code === "room_not_closed");
  return svg`<polygon class="floor" points=${points(ends)}></polygon>
    ${openEnd ? svg`<line class="gap" x1=${ends.at(-1)[0]} y1=${ends.at(-1)[1]} x2=${ends[0][0]} y2=${ends[0][1]}></line>` : nothing}`;
}

function wallLine(room, wall, view) {
  const [a, b] = [view.to(wall.from), view.to(wall.to)];
  const chosen = wall.index === state.wall;
  return svg`<line class="wall ${wall.known ? "" : "ghost"} ${chosen ? "chosen" : ""}"
    x1=${a[0]} y1=${a[1]} x2=${b[0]} y2=${b[1]} @click=${() => set({ wall: wall.index })}></line>`;
}

/** What a movable thing says of itself. */
export function sliderOf(thing, name, units, up) {
  const where = `${show(thing.start, units)} from the left corner of ${thing.wall.id}`;
  return {
    label: name,
    now: Math.round(thing.start * 100) / 100,
    most: Math.max(0, Math.round((thing.wall.length - thing.width) * 100) / 100),
    text: up ? `${where}, ${show(thing.bottom, units)} up` : where,
  };
}

function group(thing, list, name, view, shapes) {
  const said = sliderOf(thing, name, state.draft.brief.units, false);
  const moves = movable(list, thing, { along: thing.wall.way, scale: view.scale });
  return svg`<g class="thing ${list} ${thing.known ? "" : "ghost"}" tabindex="0" role="slider" aria-label=${said.label}
    aria-valuemin="0" aria-valuemax=${said.most} aria-valuenow=${Math.min(said.now, said.most)} aria-valuetext=${said.text}
    @pointerdown=${moves.down} @keydown=${moves.key}>${shapes}</g>`;
}

function opening(thing, view) {
  const { wall, start, width } = thing;
  const [a, b] = [view.to(at(wall, start)), view.to(at(wall, start + width))];
  return group(thing, "openings", `${OPENING_KINDS[thing.kind] ?? "Door"}, in ${wall.id}`, view, svg`
    <line class="grip" x1=${a[0]} y1=${a[1]} x2=${b[0]} y2=${b[1]}></line>
    <line class="hole" x1=${a[0]} y1=${a[1]} x2=${b[0]} y2=${b[1]}></line>
    ${leaf(thing, view)}`);
}

function leaf(thing, view) {
  const { wall, start, width, kind } = thing;
  const point = (along, out) => view.to(at(wall, along, out));
  const path = (list) => svg`<polyline class="leaf" points=${points(list)}></polyline>`;
  if (kind === "bifold") {
    const deep = -width / 5;
    return [
      path([point(start, 0), point(start + width / 8, deep), point(start + width / 4, 0)]),
      path([point(start + width, 0), point(start + width * 0.875, deep), point(start + width * 0.75, 0)]),
    ];
  }
  if (kind === "sliding") {
    const gap = 2 / view.scale;
    return [
      path([point(start, gap), point(start + width * 0.55, gap)]),
      path([point(start + width * 0.45, -gap), point(start + width, -gap)]),
    ];
  }
  if (kind !== "hinged_in" && kind !== "hinged_out") return nothing;
  const side = kind === "hinged_in" ? 1 : -1;
  const [hinge, other] = thing.hinge === "right" ? [start + width, start] : [start, start + width];
  const arc = Array.from({ length: 13 }, (_, step) => {
    const angle = (step / 12) * (Math.PI / 2);
    return point(hinge + (other - hinge) * Math.cos(angle), side * width * Math.sin(angle));
  });
  return [svg`<polyline class="swing" points=${points(arc)}></polyline>`, path([point(hinge, 0), arc.at(-1)])];
}

function obstruction(thing, view) {
  const { wall, start, width } = thing;
  const near = thing.setback;
  const far = Math.max(thing.projection, near + 5 / view.scale);
  const corners = [[start, near], [start + width, near], [start + width, far], [start, far]]
    .map(([along, out]) => view.to(at(wall, along, out)));
  const name = OBSTRUCTIONS[thing.kind]?.title ?? "Thing";
  const grip = [[start, -4 / view.scale], [start + width, -4 / view.scale]].map(([a, o]) => view.to(at(wall, a, o)));
  return group(thing, "obstructions", `${name}, on ${wall.id}`, view, svg`
    <line class="grip" x1=${grip[0][0]} y1=${grip[0][1]} x2=${grip[1][0]} y2=${grip[1][1]}></line>
    <polygon class="block" points=${points(corners)}></polygon>`);
}

/** What a box kept clear is called. */
export const keptName = (thing) => (thing.why ? `Kept clear: ${thing.why}` : "Kept clear");

function keptClear(thing, view) {
  const { wall, start, width, depth } = thing;
  const corners = [[start, 0], [start + width, 0], [start + width, depth], [start, depth]]
    .map(([along, out]) => view.to(at(wall, along, out)));
  return group(thing, "keep_clear", `${keptName(thing)}, before ${wall.id}`, view, svg`
    <polygon class="block" points=${points(corners)}></polygon>`);
}
