// What a customer is shown: the picture, what goes where, the price. Nothing can be changed here.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { drawingsOf, pictureOf } from "./drawings.js";
import { sentence, wallTitle } from "./faults.js";
import { show } from "./lengths.js";
import { modelPicture } from "./model/model-view.js";
import { packOf } from "./pack/packs.js";
import { madeUp, money } from "./pack/tables.js";
import { addressOf } from "./router.js";
import { notify, state } from "./store.js";
import { storedText } from "./stock.js";
import { needName } from "./study/words.js";

/** The sheet for the customer. */
export function customerView() {
  const { study, route } = state;
  if (state.missing) return html`<h1>There is no such plan here</h1><p>${state.missing.message}</p>`;
  const layout = study?.layouts.find((one) => one.rank === route.customer);
  if (study?.state !== "done") return html`<p class="wait" role="status">Reading the plan</p>`;
  if (!layout) return html`<h1>There is no such plan here</h1>`;
  return html`<article class="customer">
    <section class="sheet-one"><h1>${study.name}</h1>${pictures(study, layout)}</section>
    <section class="sheet-two"><h2>What goes where</h2>${where(study, layout)} ${leftOut(layout)}
      <h2>Price</h2>${price(study, layout)}</section>
    <p class="no-print adds"><button type="button" class="plain" @click=${share}>Copy the link</button>
      <button type="button" class="plain" @click=${() => print()}>Print, two pages</button></p>
  </article>`;
}

function pictures(study, layout) {
  const list = drawingsOf(study.id, layout);
  if (!list) return html`<p class="wait">Drawing</p>`;
  if (list.error) return nothing;
  return html`<div class="views">${modelPicture(study.brief, layout)}
    ${list.value.filter((item) => item.view === "elevation").map((item) => {
      const found = pictureOf(item)?.value;
      return html`<figure>${found
        ? html`<div class="scroll" role="region" tabindex="0" aria-label=${wallTitle(item.wall)}><img src=${found.unnamed} width=${found.legible}
            alt="${wallTitle(item.wall)}, drawn from the front"></div>` : html`<p class="wait">Drawing</p>`}
        <figcaption>${wallTitle(item.wall)}</figcaption></figure>`;
    })}</div>`;
}

const HANGS = { long: "Long clothes", medium: "Clothes of medium length", short: "Shirts, jackets, folded trousers" };

/** Walls with their bays from left to right, each in a sentence. */
function where({ brief }, layout) {
  const { units } = brief;
  const walls = brief.room.walls.filter((wall) => layout.bays.some((bay) => bay.wall === wall.id));
  return walls.map((wall) => html`<h3>${wallTitle(wall.id)}, from left to right</h3>
    <ol>${layout.bays.filter((bay) => bay.wall === wall.id).sort((a, b) => a.start - b.start).map((bay) => html`<li>
      <b>${show(bay.width, units)} wide:</b> ${contentOf(bay)}.</li>`)}</ol>`);
}

/** Each of some words once, with how often it is there. */
const tally = (words) => [...words.reduce((found, word) => found.set(word, (found.get(word) ?? 0) + 1), new Map())];

function contentOf(bay) {
  const shelves = bay.zones.filter((zone) => zone.kind === "shelf");
  const floor = bay.zones.find((zone) => zone.kind === "floor");
  const things = bay.zones.flatMap((zone) => [...zone.items, ...(zone.stored ?? []).map(({ kind, count }) => storedText(kind, count))]);
  const rods = tally(bay.zones.filter((zone) => zone.kind === "rod").map((zone) => HANGS[zone.hang]));
  const parts = [
    ...rods.map(([name, times]) => (times === 1 ? name : `${name}, on ${times} rods`)),
    shelves.length ? `${shelves.length} ${shelves.length === 1 ? "shelf" : "shelves"}` : "",
    things.length ? `room for ${tally(things).map(([name, times]) => (times === 1 ? name : `${times} × ${name}`)).join(", ")}` : "",
    floor && !floor.items.length ? "open floor" : "",
  ].filter(Boolean);
  return parts.map((part, index) => (index ? part.charAt(0).toLowerCase() + part.slice(1) : part.charAt(0).toUpperCase() + part.slice(1))).join("; ");
}

function leftOut(layout) {
  if (!layout.unmet.length) return html`<p>Everything asked for has its place.</p>`;
  return html`<p>Not all that was asked for goes in: ${layout.unmet.map((one) => needName(one.need)).join(", ")}.</p>`;
}

function price(study, layout) {
  const found = packOf(state.route);
  if (!found) return html`<p class="wait" role="status">Working out the price</p>`;
  if (found.error) return html`<p>${sentence(`No price could be worked out: ${found.error.message}`)}</p>`;
  const { quote } = found.value.pack;
  const rows = [["Materials", quote.materials], ["Work", quote.labour + quote.margin], ["Tax", quote.tax]].filter(([, value]) => value);
  return html`<table class="price"><tbody>${rows.map(([name, value]) => html`<tr><th scope="row">${name}</th><td>${money(value, quote.currency)}</td></tr>`)}
    <tr class="total"><th scope="row">Total</th><td>${money(quote.total, quote.currency)}</td></tr></tbody></table>
    <p class="hint">${madeUp(found.value.pack) ? "The prices are made-up ones of the program until its price book holds real ones. " : ""}Measured sizes and
      prices are confirmed before work begins.</p>`;
}

async function share() {
  try {
    await navigator.clipboard.writeText(location.href);
    notify("The link is on the clipboard. Whoever has it sees this sheet and can change nothing on it.");
  } catch {
    notify(`The link: ${location.href}`);
  }
}

/** Whether the page shows the customer's sheet alone, without ways to the others. */
export const isForCustomer = () => state.route.view === "customer";

/** The address of the customer's sheet of a layout. */
export const customerAddress = (study, rank) => addressOf({ view: "customer", study, customer: rank });
