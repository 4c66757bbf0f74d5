// The third sheet: everything that building a layout needs, to be taken away or printed.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { fileName } from "../files.js";
import { addressOf, go } from "../router.js";
import { download, openFile, packAddress, save } from "../service.js";
import { notify, set, state } from "../store.js";
import { capital, points, sentence } from "../study/words.js";
import { ownPrices } from "./own-prices.js";
import { packOf, sheetOf } from "./packs.js";
import { pricesForm } from "./prices-form.js";
import { checks, costs, cutList, hardware, markout, sheetsTold } from "./tables.js";

/** The sheet of a layout's build pack. */
export function packView() {
  const { study, route } = state;
  if (state.missing) return html`<h1>There is no such study here</h1><p>${state.missing.message}</p>`;
  if (!study) return html`<p class="wait" role="status">Reading the study</p>`;
  if (study.state !== "done") return html`<h1>Build ${study.name}</h1><p class="wait" role="status">Laying it out</p>`;
  const found = packOf(route);
  const refused = !route.pricing && found?.error?.errors?.length > 0 && ownPrices() !== null;
  return html`<div class="pack">
    ${head(study, route)}
    ${pricesForm(refused ? whyNot(found.error) : null)}
    ${refused ? nothing : !found ? html`<p class="wait" role="status">Working out parts, sheets and drawings. This takes a few seconds.</p>`
      : found.error ? html`<p class="fault" role="alert">The build pack could not be made: ${found.error.message}</p>`
      : body(study, route.pack, found.value)}
  </div>`;
}

/** Why prices were refused, each fault with its field. */
const whyNot = (error) => error.errors
  .map(({ pointer, detail }) => sentence(`${pointer.split("/").slice(2).join(" ").replaceAll("_", " ")}: ${detail}`)).join(" ");

function head(study, { pack: rank, pricing }) {
  return html`<header class="head">
    <h1>Build ${study.name}, layout ${rank}</h1>
    <p class="links no-print">
      <span><label for="pack-rank">Layout</label> <select id="pack-rank" @change=${(event) => go({ view: "pack", study: study.id, pack: Number(event.target.value), pricing })}>
        ${study.layouts.map((one) => html`<option value=${one.rank} ?selected=${one.rank === rank}>${one.rank}, ${points(one.score)} points</option>`)}
      </select></span>
      <a href=${addressOf({ view: "customer", study: study.id, customer: rank, pricing })}>For the customer</a>
      <a href=${addressOf({ view: "study", study: study.id, compare: state.chosen })}>Back to the layouts</a>
    </p>
  </header>`;
}

function body(study, rank, found) {
  const { pack, drawings } = found;
  const own = (name) => name.startsWith("sheet-") || name.startsWith("rods-") || name.startsWith("strips-");
  return html`
    ${takeAway(study, rank, found.pricing)}
    ${cautions(pack, ["all"], "Before you start")}
    <p class="hint">A caution that names no source is common practice.</p>
    <nav class="contents no-print" aria-label="In this pack"><ul>
      ${[["drawings", "Drawings"], ["cut-list", "Cut list"], ["sheets", "Sheets"], ["hardware", "Hardware"], ["markout", "Mark-out"], ["checks", "Strength"], ["quote", "Quote"]]
        .map(([id, name]) => html`<li><a href="#${id}" @click=${(event) => within(event, id)}>${name}</a></li>`)}
    </ul></nav>
    <section id="drawings" tabindex="-1"><h2>Drawings</h2>
      ${cautions(pack, ["assembly"])} <div class="papers">${drawings.filter((one) => !own(one.name)).map(drawing)}</div></section>
    <section id="cut-list" tabindex="-1"><h2>Cut list</h2>${cautions(pack, ["cut_list"])} ${cutList(pack)}</section>
    <section id="sheets" tabindex="-1"><h2>Sheets, strips and rods</h2>
      ${cautions(pack, ["sheets"])} ${sheetsTold(found)} <div class="papers">${drawings.filter((one) => own(one.name)).map(drawing)}</div></section>
    <section id="hardware" tabindex="-1"><h2>Hardware and finish</h2>${cautions(pack, ["finish"])} ${hardware(pack)}</section>
    <section id="markout" tabindex="-1"><h2>Mark-out on the walls</h2>${cautions(pack, ["markout"])} ${markout(pack)}</section>
    <section id="checks" tabindex="-1"><h2>Strength</h2>${cautions(pack, ["structure"])} ${checks(pack)}</section>
    <section id="quote" tabindex="-1"><h2>Cost and quote</h2>${costs(pack)}</section>
    ${pack.notes.length ? html`<section><h2>To verify on site</h2><ul>${pack.notes.map((note) => html`<li>${sentence(note)}</li>`)}</ul></section>` : nothing}`;
}

function within(event, id) {
  event.preventDefault();
  const target = document.getElementById(id);
  target.scrollIntoView();
  target.focus({ preventScroll: true });
}

function takeAway(study, rank, pricing) {
  const at = (form) => packAddress(study.id, rank, form, pricing);
  const name = `${fileName(study.name)}-${rank}`;
  const get = (form, ending) => async (event) => {
    event.preventDefault();
    await download(at(form), `${name}${ending}`).catch((error) => notify(error.message));
  };
  const brief = () => save(
    new Blob([`${JSON.stringify(study.brief, null, 2)}\n`], { type: "application/json" }), `${name}-brief.json`);
  return html`<div class="take-away no-print">
    <a class="main" id="take-pdf" href=${at("pdf")} @click=${get("pdf", ".pdf")}>Take the PDF</a>
    <button type="button" class="plain" id="print" @click=${() => openFile(at("pdf")).catch((error) => notify(error.message))}>Print the document</button>
    <a class="button" id="take-zip" href=${at("zip")} @click=${get("zip", ".zip")}>All files (ZIP)</a>
    <a class="button" id="take-csv" href=${at("csv")} @click=${get("csv", "-cut-list.csv")}>Cut list (CSV)</a>
    <button type="button" class="plain" id="take-brief" @click=${brief}>Brief (JSON)</button>
  </div>`;
}

const PRACTICE = "common practice";

function cautions(pack, places, heading) {
  const mine = pack.cautions.filter((one) => places.includes(one.where));
  if (!mine.length) return nothing;
  return html`<div class="cautions">
    ${heading ? html`<h2>${heading}</h2>` : nothing}
    <ul>${mine.map((one) => html`<li><b>${capital(one.topic)}.</b> ${one.text}
      ${one.source === PRACTICE ? nothing : html`<small>${capital(one.source)}.</small>`}</li>`)}</ul></div>`;
}

function drawing(one) {
  const source = sheetOf(one.svg);
  const large = state.large === one.name;
  return html`<figure class="paper-sheet ${large ? "large" : ""}">
    ${source === null ? html`<p class="wait">Drawing ${one.title}</p>`
      : source === "" ? html`<p class="fault">${one.title} could not be read.</p>`
      : html`<div class="scroll" role="region" tabindex="0" aria-label=${one.title}><img src=${source} alt=${`${one.title}, drawn to scale with sizes`}></div>`}
    <figcaption>${one.title} <span class="no-print">
      <button type="button" class="plain" aria-pressed=${large ? "true" : "false"}
        @click=${() => set({ large: large ? null : one.name })}>Larger<span class="unseen"> ${one.title}</span></button>
      <a href=${one.svg} @click=${fetchFile(one.svg)}>SVG<span class="unseen"> of ${one.title}</span></a> <a href=${one.dxf} @click=${fetchFile(one.dxf)}>DXF<span class="unseen"> of ${one.title}</span></a></span></figcaption>
  </figure>`;
}

const fetchFile = (address) => async (event) => {
  event.preventDefault();
  await download(address, address.split("/").at(-1)).catch((error) => notify(error.message));
};
