// Hooks and mirrors of the layout in hand: moved along their wall, hung on another, taken off.

import { html, nothing, svg } from "../../vendor/lit-html/lit-html.js";
import { capital, wallTitle } from "../faults.js";
import { show as length } from "../lengths.js";
import { dragged } from "../drag.js";
import { lettering } from "../room-wall.js";
import { announce, notify, state } from "../store.js";
import { changeMounts, handLayout, rest, rules, show } from "./editor.js";
import { gapsOf } from "./gaps.js";
import { lengthOf, wallCalled } from "./walls.js";

/** Hooks and mirrors that the brief asks for, as any layout of the study hangs them. */
function known() {
  const all = [...handLayout().mounts, ...state.study.layouts.flatMap((one) => one.mounts ?? [])];
  return [...new Map(all.map((one) => [one.id, one])).values()].sort((a, b) => a.id.localeCompare(b.id));
}

const nameOf = ({ kind, id }) => `${capital(kind)} ${id}`;

/** The mount with its left end at another place; its hooks go with it. */
function placed(mount, wall, to) {
  const { step } = rules();
  const most = lengthOf(wallCalled(wall)) - mount.width;
  const start = Number(Math.max(0, Math.min(Math.round(to / step) * step, most)).toFixed(6));
  return { ...mount, wall, start, hooks: mount.hooks.map((at) => Number((at + start - mount.start).toFixed(6))) };
}

const moveMount = (id, to, group) => changeMounts(`moving ${id}`, (mounts) =>
  mounts.map((one) => (one.id === id ? placed(one, one.wall, to) : one)), group);

function removeMount(id) {
  changeMounts(`taking off ${id}`, (mounts) => mounts.filter((one) => one.id !== id));
  announce(`${id} is taken off.`);
}

/** Hang a mount on a wall, in the widest piece that is free there. */
function hang(mount, wall) {
  const free = gapsOf(wall).sort((a, b) => (b.to - b.from) - (a.to - a.from))[0];
  if (!free || free.to - free.from < mount.width) {
    notify(`No free piece of ${wallTitle(wall)} is ${length(mount.width, rules().units)} wide.`);
    return;
  }
  const hung = placed(mount, wall, (free.from + free.to - mount.width) / 2);
  changeMounts(`moving ${mount.id}`, (mounts) => [...mounts.filter((one) => one.id !== mount.id), hung]);
  show({ wall });
}

/** A line for each mount of the brief: the wall on which it hangs. */
export function mountRows() {
  const mounts = known();
  const { walls } = state.study.brief.room;
  return mounts.map((mount, row) => {
    const now = handLayout().mounts.find((one) => one.id === mount.id)?.wall ?? "";
    const take = (event) => (event.target.value === "" ? removeMount(mount.id) : hang(mount, event.target.value));
    return html`<div class="field"><label for="mount-${row}">${nameOf(mount)}</label>
      <select id="mount-${row}" @change=${take}>
        <option value="" ?selected=${now === ""}>Left out</option>
        ${walls.map((wall) => html`<option value=${wall.id} ?selected=${wall.id === now}>${wallTitle(wall.id)}</option>`)}
      </select></div>`;
  });
}

/** The mounts of a wall as drawn; `faulty` tells what is wrong at a place of the layout. */
export const mountShapes = (wallId, view, faulty) =>
  handLayout().mounts.map((mount, index) => (mount.wall === wallId ? shape(mount, view, faulty(`/mounts/${index}`)) : nothing));

function shape(mount, view, bad) {
  const { x, y, scale, units } = view;
  const { step } = rules();
  const [left, top, wide, high] = [x(mount.start), y(mount.top), mount.width * scale, (mount.top - mount.bottom) * scale];
  const key = (event) => {
    if (event.key === "Delete" || event.key === "Backspace") {
      event.preventDefault();
      removeMount(mount.id);
      return;
    }
    const way = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
    if (!way) return;
    event.preventDefault();
    moveMount(mount.id, mount.start + way * step * (event.shiftKey ? 4 : 1), `${mount.id} keys`);
  };
  const down = (event) => dragged(event, (dx) => moveMount(mount.id, mount.start + dx / scale, `${mount.id} drag`), rest);
  return svg`<g class="grab across mount ${bad ? "bad" : ""}" tabindex="0" role="slider" aria-label=${nameOf(mount)} aria-valuemin="0"
      aria-valuemax=${Math.ceil(lengthOf(wallCalled(mount.wall)) - mount.width)} aria-valuenow=${Math.round(mount.start * 100) / 100}
      aria-valuetext=${`${length(mount.start, units)} from the left end`} @pointerdown=${down} @keydown=${key} @blur=${rest}>
    <rect class="grip" x=${left} y=${top} width=${wide} height=${high}></rect>
    <rect class="hung" x=${left} y=${top} width=${wide} height=${high}></rect>
    ${mount.hooks.map((at) => svg`<path class="hook" d=${`M${x(at)} ${y(mount.hook_height) - 5}v8a4 4 0 0 0 8 0`}></path>`)}
    ${lettering(nameOf(mount), left, top + (mount.hooks.length ? 24 : 0), wide, Math.max(0, high - 24))}
    ${bad ? svg`<g class="flag"><circle cx=${left + 14} cy=${top + high - 16} r="11"></circle>
      <text x=${left + 14} y=${top + high - 16} text-anchor="middle" dominant-baseline="central">${bad}</text></g>` : nothing}
  </g>`;
}
