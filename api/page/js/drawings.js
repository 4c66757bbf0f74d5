// The service's drawings of layouts: read, freed of their paper's frame, and laid on the table
// to a common scale.

import { html, nothing, svg } from "../vendor/lit-html/lit-html.js";
import { getText, listDrawings } from "./service.js";
import { wallTitle } from "./faults.js";
import { storedText } from "./stock.js";
import { redraw, state } from "./store.js";
import { isKept, keep } from "./current-study.js";
import { show } from "./lengths.js";

const FURNITURE = new Set(["FRAME", "TITLE"]);
const EDGE_MM = 2;
const LEAST_LETTER_PX = 11;
/** Smallest letters of a drawing, and limits of the width that it is asked for [mm of paper]. */
const LETTER_MM = 2.08;
const LEAST_MM = 110;
const MOST_MM = 240;
/** What lies around a drawing on its card [CSS pixels]. */
const AROUND_PX = 34;
let read = new Map();

/** A layout's drawings, or null while they are on their way; the reason if there are none. */
export function drawingsOf(studyId, layout) {
  // While a study runs its ranks may still change: what stands in a layout tells it apart.
  const key = `${studyId}/${layout.rank}/${[...layout.bays, ...(layout.mounts ?? [])].map((one) => `${one.wall}${one.start}${one.pattern}`).join()}`;
  const bays = new Set(layout.bays.map((bay) => bay.id));
  return loaded(key, async () => (await listDrawings(studyId, layout.rank)).map((item) => ({ ...item, svg: narrowed(item), key, bays })));
}

/** The address of a drawing to the scale at which its letters are read in the room there is. */
function narrowed({ svg: address }) {
  const room = (document.getElementById("main")?.querySelector(".main-part, .customer") ?? document.body).clientWidth - AROUND_PX;
  const widest = Math.max(LEAST_MM, Math.floor(((room * LETTER_MM) / LEAST_LETTER_PX - 2 * EDGE_MM) / 10) * 10);
  return widest <= MOST_MM ? `${address}${address.includes("?") ? "&" : "?"}widest=${widest}` : address;
}

/** A drawing: its picture without frame and title block, with its place and scale. */
export function pictureOf(item) {
  return loaded(`${item.key} ${item.svg}`, async () => cropped(await getText(item.svg), item.bays));
}

function loaded(key, load) {
  const drawings = read;
  if (!drawings.has(key)) {
    drawings.set(key, null);
    load().then((value) => drawings.set(key, { value }), (error) => drawings.set(key, { error }))
      .finally(redraw);
  }
  return drawings.get(key);
}

/** Forget the drawings read and free their pictures. */
export function dropDrawings() {
  for (const one of read.values()) {
    for (const source of [one?.value?.source, one?.value?.unnamed]) if (source) URL.revokeObjectURL(source);
  }
  read = new Map();
}

function cropped(text, bays) {
  const parsed = new DOMParser().parseFromString(text, "image/svg+xml").documentElement;
  const [, , paperWidth, paperHeight] = parsed.getAttribute("viewBox").split(" ").map(Number);
  const perMm = Number(parsed.dataset.unitPerMm) || 1;
  const origin = (parsed.dataset.origin ?? "0 0").split(" ").map(Number);
  for (const part of [...parsed.children]) {
    if (FURNITURE.has(part.dataset?.layer) || part.tagName === "rect" || part.tagName === "title") part.remove();
  }
  const box = boxOf(parsed) ?? { x: 0, y: 0, width: paperWidth, height: paperHeight };
  const view = [box.x - EDGE_MM, box.y - EDGE_MM, box.width + 2 * EDGE_MM, box.height + 2 * EDGE_MM];
  parsed.setAttribute("viewBox", view.join(" "));
  parsed.setAttribute("width", `${view[2] * 4}`);
  parsed.setAttribute("height", `${view[3] * 4}`);
  const letters = [...parsed.querySelectorAll("text")].map((one) => Number(one.getAttribute("font-size"))).filter(Boolean);
  return {
    source: sourceOf(parsed), unnamed: withoutNames(parsed, bays), view, perMm,
    // How wide it must be on screen for its smallest letters to be read [CSS pixels].
    legible: Math.ceil((view[2] * LEAST_LETTER_PX) / Math.min(...letters, 3)),
    // A place of the thing [its units] on the cropped picture [its units, y down].
    x: (along) => (along - origin[0]) - view[0] * perMm,
    y: (up) => (paperHeight - view[1]) * perMm - (up - origin[1]),
    width: view[2] * perMm,
    height: view[3] * perMm,
  };
}

const sourceOf = (parsed) =>
  URL.createObjectURL(new Blob([new XMLSerializer().serializeToString(parsed)], { type: "image/svg+xml" }));

/** The same picture without the names of bays, for who builds nothing by them. */
function withoutNames(parsed, bays) {
  const copy = parsed.cloneNode(true);
  for (const text of copy.querySelectorAll("text")) if (bays.has(text.textContent.trim())) text.remove();
  return sourceOf(copy);
}

/** The box around what is drawn, measured by the browser itself. */
function boxOf(parsed) {
  const shelf = document.getElementById("measuring");
  const copy = document.importNode(parsed, true);
  shelf.append(copy);
  const box = copy.getBBox();
  copy.remove();
  return box.width > 0 ? box : null;
}

/** Which of a layout's drawings belong to a view: "walls", "plan" or "isometric". */
export function ofView(items, view) {
  return items.filter((item) => (view === "walls" ? item.view === "elevation" : item.view === view));
}

/** What a drawing shows, in words. */
export const titleOf = (item) =>
  ({ plan: "Plan", isometric: "Isometric view", elevation: `${item.wall}, elevation` })[item.view];

/**
 * A drawing of a layout. `frame` is the width and height [its units] that all pictures beside it
 * share, so that they are to the same scale. Bays of an elevation can be pressed to keep them.
 */
export function picture(layout, item, frame, legible = false) {
  const found = pictureOf(item);
  const name = `${titleOf(item)} of layout ${layout.rank}`;
  if (!found) return html`<p class="wait">Drawing: ${titleOf(item)}</p>`;
  if (found.error) return html`<p class="fault">${name} could not be drawn: ${found.error.message}</p>`;
  const image = found.value;
  const [wide, high] = frame ?? [image.width, image.height];
  const left = (wide - image.width) / 2;
  return html`<svg class="sheet ${legible ? "legible" : ""}" viewBox="0 0 ${wide} ${high}" width=${legible ? image.legible : nothing}
      role="group" aria-label=${name}>
    ${svg`<rect class="white" width=${wide} height=${high}></rect>
    <image href=${image.source} x=${left} y=${high - image.height} width=${image.width} height=${image.height}
      role="img" aria-label=${`${name}: ${wordsOf(layout, item)}`}></image>
    <g transform=${`translate(${left} ${high - image.height})`}>${item.view === "elevation" ? bays(layout, item, image) : nothing}</g>`}
  </svg>`;
}

/** Width and height that hold all of these drawings, or null until they are there. */
export function commonFrame(items) {
  const images = items.map((item) => pictureOf(item)?.value);
  if (images.some((image) => !image)) return null;
  return [Math.max(...images.map((one) => one.width)), Math.max(...images.map((one) => one.height))];
}

function bays(layout, item, image) {
  return layout.bays.filter((bay) => bay.wall === item.wall).map((bay) => {
    const held = isKept(layout, bay);
    const [x, y] = [image.x(bay.start), image.y(bay.height)];
    const press = () => keep(layout, bay);
    return svg`<g class="bay ${held ? "held" : ""}" role="button" tabindex="0" aria-pressed=${held ? "true" : "false"}
        aria-label=${`Keep ${bay.id}, ${bayText(bay)}`} @click=${press}
        @keydown=${(event) => { if (event.key === "Enter" || event.key === " ") { event.preventDefault(); press(); } }}>
      <rect x=${x} y=${y} width=${bay.width} height=${bay.height}></rect>
      ${held ? pin(x + bay.width / 2, y, image.perMm) : nothing}
    </g>`;
  });
}

const pin = (x, y, perMm) => svg`<path class="pin" transform=${`translate(${x} ${y}) scale(${perMm})`}
  d="M0 9V3M-3 3H3L2 -1V-5H-2V-1Z"></path>`;

const ZONES = {
  floor: (zone) => (zone.items.length ? `${zone.items.join(", ")} on the floor` : "open floor"),
  rod: (zone) => `${zone.hang} hang`,
  shelf: (zone) => {
    const held = [...zone.items, ...(zone.stored ?? []).map(({ kind, count }) => storedText(kind, count))];
    return held.length ? `shelf with ${held.join(", ")}` : "shelf";
  },
};

/** A bay in words, from the floor up. */
export function bayText(bay) {
  const { units } = state.study.brief;
  const words = bay.zones.map((zone) => ZONES[zone.kind](zone));
  const told = [];
  for (const word of words) {
    const last = told.at(-1);
    if (last?.word === word) last.times += 1;
    else told.push({ word, times: 1 });
  }
  const text = told.map(({ word, times }) => (times === 1 ? word : word === "shelf" ? `${times} shelves` : `${times} × ${word}`)).join(", ");
  return `${show(bay.width, units)} wide, ${carriedText(bay, units)}: ${text}`;
}

/** Hooks or a mirror in words. */
export function mountText(mount) {
  const { units } = state.study.brief;
  const where = `on ${wallTitle(mount.wall)}, ${show(mount.start, units)} from its left end`;
  if (mount.kind === "mirror") return `mirror ${where}, from ${show(mount.bottom, units)} to ${show(mount.top, units)} up`;
  const count = mount.hooks.length;
  return `${count} hook${count === 1 ? "" : "s"} ${where}, ${show(mount.hook_height, units)} up`;
}

/** What carries a bay; those of layouts stored before this was told stand between uprights. */
export function carriedText(bay, units) {
  const [left, right] = [bay.left ?? "upright", bay.right ?? "upright"];
  const ends = left === right ? `between ${left}s` : `from ${left} to ${right}`;
  const places = bay.mid_supports ?? [];
  if (!places.length) return ends;
  return `${ends}, supported at ${places.map((place) => show(place, units)).join(" and ")}`;
}

function wordsOf(layout, item) {
  const mine = item.view === "elevation" ? layout.bays.filter((bay) => bay.wall === item.wall) : layout.bays;
  const hung = (layout.mounts ?? []).filter((mount) => item.view !== "elevation" || mount.wall === item.wall);
  return [...mine.map((bay) => `${bay.id} ${bayText(bay)}`), ...hung.map((mount) => `${mount.id}: ${mountText(mount)}`)].join("; ");
}
