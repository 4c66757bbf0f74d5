// What lies beside the bays of a wall: pieces that are free, each a place for another bay, and the
// boards of the next walls that stand in its corners.

import { nothing, svg } from "../../vendor/lit-html/lit-html.js";
import { show as length } from "../lengths.js";
import { wallTitle } from "../faults.js";
import { bayAround } from "./corners.js";
import { handLayout, rules } from "./editor.js";
import { addBay, gapsOf } from "./gaps.js";

const LETTER = 7.8;

/** Whether a text has room in so many units of a drawing by hand. */
export const fits = (text, wide) => text.length * LETTER <= wide - 4;

/** A plate for each free piece of a wall, that puts a bay there. */
export function gapPlates(wallId, { x, scale, units }, floor) {
  return gapsOf(wallId).map((gap) => {
    const size = length(gap.to - gap.from, units);
    const [left, wide] = [x(gap.from), (gap.to - gap.from) * scale];
    const press = () => addBay(wallId, gap);
    const key = (event) => {
      if (event.key !== "Enter" && event.key !== " ") return;
      event.preventDefault();
      press();
    };
    return svg`<g class="gap-plate" role="button" tabindex="0" @click=${press} @keydown=${key}
        aria-label=${`Add a bay on ${wallTitle(wallId)}, ${size} free from ${length(gap.from, units)} on`}>
      <rect class="plate" x=${left} y=${floor + 6} width=${wide} height="44"></rect>
      <text class="name" x=${left + wide / 2} y=${floor + 24} text-anchor="middle">${fits("+ Bay", wide) ? "+ Bay" : "+"}</text>
      ${fits(`${size} free`, wide) ? svg`<text class="size" x=${left + wide / 2} y=${floor + 42} text-anchor="middle">${size} free</text>` : nothing}</g>`;
  });
}

/** The boards of the bays round the corners of a wall, as outlines. */
export function boardsAround(wallId, whole, { x, y, scale }) {
  const { board } = rules();
  return ["left", "right"].flatMap((side) => {
    const bay = bayAround(handLayout().bays, wallId, side);
    if (!bay) return [];
    return bay.zones.filter((zone) => zone.kind === "shelf").map((zone) => {
      const deep = zone.depth ?? bay.depth;
      return svg`<rect class="around" x=${x(side === "left" ? 0 : whole - deep)} y=${y(zone.bottom)} width=${deep * scale}
        height=${Math.max(2, board * scale)}><title>${`Board of ${bay.id}, round the corner`}</title></rect>`;
    });
  });
}
