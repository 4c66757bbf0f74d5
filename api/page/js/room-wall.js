// The live elevation: one wall as one faces it from inside.

import { html, svg } from "../vendor/lit-html/lit-html.js";
import { show } from "./lengths.js";
import { movable } from "./drag.js";
import { shortName } from "./plan-labels.js";
import { keptName, sliderOf } from "./room-plan.js";
import { state } from "./store.js";
import { OBSTRUCTIONS, OPENING_KINDS } from "./stock.js";

const WIDTH = 640;
const [SIDE, TOP, FOOT] = [64, 18, 44];
const MOST = 225;

/** The elevation of a wall. */
export function roomWall(room, wall) {
  const high = Math.max(...wall.heights);
  const scale = Math.min((WIDTH - 2 * SIDE) / wall.length, MOST / high);
  const left = (WIDTH - wall.length * scale) / 2;
  const floor = TOP + high * scale;
  const view = { scale, written: [], x: (along) => left + along * scale, y: (up) => floor - up * scale };
  const mine = (list) => list.filter((thing) => thing.wall === wall);
  return html`<svg class="drawing elevation" viewBox="0 0 ${WIDTH} ${Math.round(floor + FOOT)}" role="group"
      aria-label="${wall.id}, as you face it from inside">
    ${shell(room, wall, view)}
    ${mine(room.keepClear).map((thing) => block(thing, "keep_clear", keptName(thing), view))}
    ${mine(room.openings).map((thing) => block(thing, "openings", OPENING_KINDS[thing.kind] ?? "Door", view))}
    ${mine(room.obstructions).map((thing) => block(thing, "obstructions", OBSTRUCTIONS[thing.kind]?.title ?? "Thing", view))}
  </svg>`;
}

function shell(room, wall, view) {
  const [a, b] = wall.heights;
  const outline = [[0, 0], [0, a], [wall.length, b], [wall.length, 0]]
    .map(([along, up]) => `${view.x(along).toFixed(1)},${view.y(up).toFixed(1)}`).join(" ");
  const [x0, x1, base] = [view.x(0), view.x(wall.length), view.y(0)];
  const size = wall.known ? show(wall.length, room.units) : "?";
  const tall = room.ceilingKnown || a !== room.ceiling ? show(a, room.units) : `${show(a, room.units)} ?`;
  return svg`<polygon class="face" points=${outline}></polygon>
    <line class="ground" x1=${x0 - 18} y1=${base} x2=${x1 + 18} y2=${base}></line>
    <path class="dimension" d="M${x0} ${base + 18}H${x1} M${x0} ${base + 12}v12 M${x1} ${base + 12}v12"></path>
    <text class="size" x=${(x0 + x1) / 2} y=${base + 34} text-anchor="middle"><tspan class="name">${shortName(wall.id)}</tspan> ${size}</text>
    <path class="dimension" d="M${x0 - 18} ${base}V${view.y(a)} M${x0 - 24} ${base}h12 M${x0 - 24} ${view.y(a)}h12"></path>
    <text class="size" x=${x0 - 26} y=${(base + view.y(a)) / 2} text-anchor="middle"
      transform="rotate(-90 ${x0 - 26} ${(base + view.y(a)) / 2})">${tall}</text>
    ${a === b ? "" : rightHeight(room, x1, base, view.y(b), b)}`;
}

const rightHeight = (room, x, base, top, height) => svg`
  <path class="dimension" d="M${x + 18} ${base}V${top} M${x + 12} ${base}h12 M${x + 12} ${top}h12"></path>
  <text class="size" x=${x + 36} y=${(base + top) / 2} text-anchor="middle"
    transform="rotate(-90 ${x + 36} ${(base + top) / 2})">${show(height, room.units)}</text>`;

const LETTER = 7.8;
const LINE = 18;
const HEIGHTS = [0.5, 0.25, 0.75];
const SMALL = matchMedia("(max-width: 40rem)");
const LARGER = 20 / 14.5;

const meet = (one, other) => one[0] < other[2] && other[0] < one[2] && one[1] < other[3] && other[1] < one[3];

/**
 * A name in a box, level or reading upwards where that has room: all of it, or what is before a
 * colon. It keeps off the names that are written already: boxes in `written`, to which its own is added.
 */
export function lettering(name, x, y, wide, high, written = []) {
  const size = SMALL.matches ? LARGER : 1;
  const whole = name.split(",")[0];
  for (const text of [whole, whole.split(":")[0]]) {
    for (const share of HEIGHTS) {
      for (const [along, across, turn] of [[wide, high, 0], [high, wide, -90]]) {
        const [length, line] = [size * LETTER * text.length, size * LINE];
        if (length > along || line > across || (turn && share !== 0.5)) continue;
        const [cx, cy] = [x + wide / 2, y + high * share];
        const half = (turn ? [line, length] : [length, line]).map((one) => one / 2);
        const box = [cx - half[0], cy - half[1], cx + half[0], cy + half[1]];
        if (written.some((other) => meet(box, other))) continue;
        written.push(box);
        return svg`<text class="inside" x=${cx} y=${cy} transform="rotate(${turn} ${cx} ${cy})"
          text-anchor="middle" dominant-baseline="middle">${text}</text>`;
      }
    }
  }
  return "";
}

function block(thing, list, name, view) {
  const moves = movable(list, thing, { along: [1, 0], up: true, scale: view.scale });
  const lifted = list !== "openings";
  const bottom = lifted ? thing.bottom : 0;
  const said = sliderOf({ ...thing, bottom }, `${name}, in the elevation`, state.draft.brief.units, lifted);
  const [x, y] = [view.x(thing.start), view.y(bottom + thing.height)];
  const [w, h] = [thing.width * view.scale, thing.height * view.scale];
  return svg`<g class="thing ${list} ${thing.known ? "" : "ghost"}" tabindex="0" role="slider" aria-label=${said.label}
      aria-valuemin="0" aria-valuemax=${said.most} aria-valuenow=${Math.min(said.now, said.most)} aria-valuetext=${said.text}
      @pointerdown=${moves.down} @keydown=${moves.key}>
    <rect class="grip" x=${x - 4} y=${y - 4} width=${w + 8} height=${h + 8}></rect>
    <rect class="block" x=${x} y=${y} width=${w} height=${h}></rect>
    ${lettering(name, x, y, w, h, view.written)}
  </g>`;
}
