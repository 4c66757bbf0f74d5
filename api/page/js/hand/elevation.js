// One wall of the layout in hand, with what can be moved on it by pointer and by keys.

import { html, nothing, svg } from "../../vendor/lit-html/lit-html.js";
import { show as length } from "../lengths.js";
import { dragged } from "../drag.js";
import { lettering } from "../room-wall.js";
import { OBSTRUCTIONS, OPENING_KINDS } from "../stock.js";
import { state } from "../store.js";
import {
  addBoard, handLayout, moveBoard, moveItem, moveRod, moveUpright, places, removePart, rest, rules, show, uprightsOf,
} from "./editor.js";
import { boardsAround, fits, gapPlates } from "./gap-plates.js";
import { mountShapes } from "./mounts.js";
import { partsOf } from "./stack.js";
import { heightsOf, lengthOf } from "./walls.js";

const WIDEST = 900;
const [SIDE, TOP, FOOT] = [56, 16, 60];
const MOST = 520;
const KEYS = { ArrowUp: [0, 1], ArrowDown: [0, -1], ArrowLeft: [-1, 0], ArrowRight: [1, 0] };

/** The wall in hand. */
export function handElevation(faulty) {
  const { room, units } = state.study.brief;
  const wall = room.walls.find((one) => one.id === state.hand.wall);
  const [a, b] = heightsOf(wall, room);
  const whole = lengthOf(wall);
  const scale = Math.min((WIDEST - 2 * SIDE) / whole, MOST / Math.max(a, b));
  const left = SIDE;
  const floor = TOP + Math.max(a, b) * scale;
  const view = { scale, units, x: (along) => left + along * scale, y: (up) => floor - up * scale };
  const { board } = rules();
  const bays = handLayout().bays;
  const outline = [[0, 0], [0, a], [whole, b], [whole, 0]].map(([x, y]) => `${view.x(x)},${view.y(y)}`).join(" ");
  return html`<svg class="drawing hand" viewBox="0 0 ${Math.round(whole * scale + 2 * SIDE)} ${Math.round(floor + FOOT)}" role="group"
      aria-label="${wall.id}, as you face it; what has the focus moves by arrow keys">
    ${svg`<polygon class="face" points=${outline}></polygon>
    <line class="ground" x1=${view.x(0) - 16} y1=${floor} x2=${view.x(whole) + 16} y2=${floor}></line>
    ${room.openings.filter((one) => one.wall === wall.id).map((one) => block({ ...one, bottom: 0 }, OPENING_KINDS[one.kind], view))}
    ${room.obstructions.filter((one) => one.wall === wall.id).map((one) => block(one, OBSTRUCTIONS[one.kind]?.title, view))}
    ${boardsAround(wall.id, whole, view)}
    ${bays.map((bay, index) => (bay.wall === wall.id ? bayShape(bay, index, view, board, faulty) : nothing))}
    ${uprightsOf(bays, wall.id, board).map((one, index) => upright(one, index, bays, view, board))}
    ${mountShapes(wall.id, view, faulty)}
    ${bays.filter((bay) => bay.wall === wall.id).map((bay) => bayLabel(bay, view, floor))}
    ${gapPlates(wall.id, view, floor)}`}
  </svg>`;
}

const block = ({ start, width, bottom, height }, name, { x, y, scale }) => svg`<g class="fixed">
  <rect x=${x(start)} y=${y(bottom + height)} width=${width * scale} height=${height * scale}><title>${name}</title></rect></g>`;

function bayShape(bay, index, view, board, faulty) {
  const { x, y, scale } = view;
  const parts = partsOf(bay);
  const base = `/bays/${index}`;
  const picked = bay.id === state.hand.picked;
  const bad = faulty(base);
  const pick = () => show({ picked: bay.id });
  return svg`<g class="hand-bay ${picked ? "picked" : ""} ${bad ? "bad" : ""}">
    <rect class="field" x=${x(bay.start)} y=${y(parts.roof)} width=${bay.width * scale} height=${parts.roof * scale} @click=${pick}></rect>
    ${parts.rods.map((rod, place) => rodShape(bay, rod, place, view))}
    ${parts.boards.map((one, place) => boardShape(bay, one, place, view, board))}
    ${things(bay, parts, view, board)}
    ${(bay.mid_supports ?? []).map((place) => parts.boards.map((one) => svg`<path class="support"
      d=${`M${x(place)} ${y(one.at - board)}v${10 * scale * rules().per}`}></path>`))}
    ${bad ? svg`<g class="flag"><circle cx=${x(bay.start) + 14} cy=${y(0) - 16} r="11"></circle>
      <text x=${x(bay.start) + 14} y=${y(0) - 16} text-anchor="middle" dominant-baseline="central">${bad}</text></g>` : nothing}
  </g>`;
}

/** A thing that moves up and down: by pointer, by arrow keys, by pages of a shelf's spacing. */
function handle({ name, value, text, from, move, drop, view, id }, shapes) {
  const group = `${id} ${from}`;
  const { step, pitch } = rules();
  const key = (event) => {
    if ((event.key === "Delete" || event.key === "Backspace") && drop) {
      event.preventDefault();
      drop();
      return;
    }
    const by = { PageUp: pitch, PageDown: -pitch }[event.key] ?? (KEYS[event.key]?.[1] ?? 0) * step * (event.shiftKey ? 4 : 1);
    if (!by) return;
    event.preventDefault();
    move(value + by, `${id} keys`);
    follow(kindOfPart(id), value + by);
  };
  const down = (event) => dragged(event, (_, dy) => move(value - dy / view.scale, group), rest);
  return svg`<g class="grab" tabindex="0" role="slider" data-part=${kindOfPart(id)} aria-label=${name} aria-orientation="vertical" aria-valuemin="0"
    aria-valuemax=${Math.ceil(Math.max(value, 120 * (view.units === "mm" ? 25.4 : 1)))} aria-valuenow=${Math.round(value * 100) / 100} aria-valuetext=${text}
    @pointerdown=${down} @keydown=${key} @blur=${rest} @focus=${() => show({ picked: id.split(" ")[0] })}>${shapes}</g>`;
}

/** Boards, or rods, of one bay are alike. */
const kindOfPart = (id) => id.replace(/ [0-9]+$/, "");

/** Keep the focus on a part that was moved past another: parts are counted from the floor up. */
function follow(part, to) {
  requestAnimationFrame(() => {
    const off = (one) => Math.abs(Number(one.getAttribute("aria-valuenow")) - to) - (one === document.activeElement ? 1e-3 : 0);
    const alike = [...document.querySelectorAll(".hand [data-part]")].filter((one) => one.dataset.part === part);
    alike.sort((a, b) => off(a) - off(b))[0]?.focus();
  });
}

function boardShape(bay, { at, items }, place, view, board) {
  const { x, y, scale, units } = view;
  // Things stand from the left on: the level is told beside them.
  const right = items.length > 0;
  return handle({
    name: `Shelf ${place + 1} of ${bay.id}`, value: at, text: `${length(at, units)} up`, view, id: `${bay.id} board ${place}`, from: "drag",
    move: (to, group) => moveBoard(bay.id, place, to, group), drop: () => removePart(bay.id, "boards", place),
  }, svg`<rect class="grip" x=${x(bay.start)} y=${y(at) - 8} width=${bay.width * scale} height=${board * scale + 16}></rect>
    <rect class="board" x=${x(bay.start)} y=${y(at)} width=${bay.width * scale} height=${Math.max(2, board * scale)}></rect>
    <text class="level" x=${right ? x(bay.start + bay.width) - 4 : x(bay.start) + 4} y=${y(at) - 4} text-anchor=${right ? "end" : "start"}>${length(at, units)}</text>`);
}

function rodShape(bay, rod, place, view) {
  const { x, y, scale, units } = view;
  const drop = rules().drop[rod.hang];
  const bottom = Math.max(0, rod.at - drop);
  return handle({
    name: `Rod ${place + 1} of ${bay.id}, ${rod.hang} hang`, value: rod.at, text: `${length(rod.at, units)} up`, view,
    id: `${bay.id} rod ${place}`, from: "drag",
    move: (to, group) => moveRod(bay.id, place, to, group), drop: () => removePart(bay.id, "rods", place),
  }, svg`<rect class="clothes" x=${x(bay.start) + 6} y=${y(rod.at)} width=${Math.max(0, bay.width * scale - 12)} height=${(rod.at - bottom) * scale}></rect>
    <rect class="grip" x=${x(bay.start)} y=${y(rod.at) - 9} width=${bay.width * scale} height="18"></rect>
    <line class="rod" x1=${x(bay.start)} y1=${y(rod.at)} x2=${x(bay.start + bay.width)} y2=${y(rod.at)}></line>
    <text class="inside" x=${x(bay.start + bay.width / 2)} y=${y(rod.at - drop / 2)} text-anchor="middle">${rod.hang} hang</text>`);
}

/** Things on the floor and on boards, side by side from the left. */
function things(bay, parts, view, board) {
  const rows = [{ items: parts.floor.items, at: 0, board: null }, ...parts.boards.map((one, place) => ({ items: one.items, at: one.at, board: place }))];
  return rows.flatMap(({ items, at, board: place }) => {
    let along = bay.start;
    return items.map((item, index) => {
      const size = sizeOf(item, board);
      const from = along;
      along += size.width + board;
      return thing(item, { bay: bay.id, board: place }, { ...size, from, at, index }, view);
    });
  });
}

function sizeOf(item, board) {
  const known = state.study.brief.needs.items.find((one) => one.id === item);
  return { width: known?.width ?? 12 * board, height: known?.height ?? 12 * board };
}

const thingAt = (item, { bay, board }) => `${bay}/${board ?? "floor"} ${item}`;

function thing(item, place, { from, at, width, height }, { x, y, scale }) {
  const key = (event) => {
    const way = KEYS[event.key];
    if (!way) return;
    event.preventDefault();
    const to = nextPlace(place, way);
    if (!to) return;
    moveItem(item, place, to);
    requestAnimationFrame(() => [...document.querySelectorAll(".hand .item")]
      .filter((one) => one.dataset.thing === thingAt(item, to)).at(-1)?.focus());
  };
  const down = (event) => {
    let [dx, dy] = [0, 0];
    dragged(event, (mx, my) => { [dx, dy] = [mx, my]; }, () => {
      const to = placeAt(from + width / 2 + dx / scale, at + 1 - dy / scale);
      if (to && (to.bay !== place.bay || to.board !== place.board)) moveItem(item, place, to);
    });
  };
  return svg`<g class="grab item" tabindex="0" role="button" data-thing=${thingAt(item, place)} aria-label=${`${item}, in ${place.bay}: arrow keys move it`}
      @pointerdown=${down} @keydown=${key}>
    <rect class="block" x=${x(from)} y=${y(at + height)} width=${width * scale} height=${height * scale}></rect>
    ${lettering(item, x(from), y(at + height), width * scale, height * scale)}</g>`;
}

/** The place before or after in a bay, or the like place of the next bay on the wall. */
function nextPlace(place, [dx, dy]) {
  const all = places();
  const here = all.filter((one) => one.bay === place.bay);
  const at = here.findIndex((one) => one.board === place.board);
  if (dy) return here[at + dy] ?? null;
  const mine = handLayout().bays.filter((bay) => bay.wall === state.hand.wall).sort((a, b) => a.start - b.start);
  const next = mine[mine.findIndex((bay) => bay.id === place.bay) + dx];
  if (!next) return null;
  const there = all.filter((one) => one.bay === next.id);
  return there[Math.min(at, there.length - 1)];
}

/** The place under a point of the wall: the highest board below it in the bay there, or the floor. */
function placeAt(along, up) {
  const bay = handLayout().bays.find((one) => one.wall === state.hand.wall && along >= one.start && along <= one.start + one.width);
  if (!bay) return null;
  const below = places().filter((one) => one.bay === bay.id && (one.at ?? 0) <= up + 2);
  return below.at(-1) ?? null;
}

function upright(one, index, bays, { x, y, scale, units }, board) {
  const tall = Math.max(...[one.left, one.right].map((id) => bays.find((bay) => bay.id === id)?.height ?? 0));
  const name = `Upright ${index + 1}`;
  const key = (event) => {
    const by = (KEYS[event.key]?.[0] ?? 0) * rules().step * (event.shiftKey ? 4 : 1);
    if (!by) return;
    event.preventDefault();
    moveUpright(one, one.at + by, `${name} keys`);
  };
  const down = (event) => {
    // Each move counts from where the press began, while the bays move on under it.
    const ids = { left: one.left, right: one.right };
    dragged(event, (dx) => {
      const now = uprightsOf(handLayout().bays, state.hand.wall, board).find((other) => other.left === ids.left && other.right === ids.right);
      if (now) moveUpright(now, one.at + dx / scale, `${name} drag`);
    }, rest);
  };
  return svg`<g class="grab across" tabindex="0" role="slider" aria-label=${name} aria-valuemin="0" aria-valuemax=${Math.ceil(one.at + 600)}
      aria-valuenow=${Math.round(one.at * 100) / 100} aria-valuetext=${`${length(one.at, units)} from the left end`}
      @pointerdown=${down} @keydown=${key} @blur=${rest}>
    <rect class="grip" x=${x(one.at) - 8} y=${y(tall)} width=${board * scale + 16} height=${tall * scale}></rect>
    <rect class="panel" x=${x(one.at)} y=${y(tall)} width=${Math.max(3, board * scale)} height=${tall * scale}></rect></g>`;
}

function bayLabel(bay, { x, scale, units }, floor) {
  const pick = () => show({ picked: bay.id });
  const picked = bay.id === state.hand.picked;
  return svg`<g class="bay-name ${picked ? "picked" : ""}" role="button" tabindex="0" aria-pressed=${picked ? "true" : "false"}
      aria-label=${`Bay ${bay.id}, ${length(bay.width, units)} wide`} @click=${pick}
      @keydown=${(event) => {
        if (event.key === "Enter" || event.key === " ") { event.preventDefault(); pick(); }
        if (event.key === "+") { event.preventDefault(); addBoard(bay.id); }
      }}>
    <rect class="plate" x=${x(bay.start)} y=${floor + 6} width=${bay.width * scale} height="44"></rect>
    <text class="name" x=${x(bay.start + bay.width / 2)} y=${floor + 24} text-anchor="middle">${bay.id}</text>
    ${fits(length(bay.width, units), bay.width * scale)
      ? svg`<text class="size" x=${x(bay.start + bay.width / 2)} y=${floor + 42} text-anchor="middle">${length(bay.width, units)}</text>` : nothing}</g>`;
}
