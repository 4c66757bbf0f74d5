// The layouts of a study, one card each, drawing first.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { repeat } from "../../vendor/lit-html/directives/repeat.js";
import { bayText, mountText, drawingsOf, ofView, picture, pictureOf } from "../drawings.js";
import { wallTitle } from "../faults.js";
import { addressOf } from "../router.js";
import { customerAddress } from "../customer-view.js";
import { enlarge } from "../enlarged-drawing.js";
import { modelPicture, modelView } from "../model/model-view.js";
import { set, state, withEntry } from "../store.js";
import { isKept, keep, prefer, toggle } from "../current-study.js";
import { preview } from "./priorities.js";
import { capital, certainty, figure, METRICS, points, REASONS, standing, unmetText } from "./words.js";

const VIEWS = { walls: "Walls", plan: "Plan", isometric: "Isometric", model: "Model" };
const SHOWN = ["long_hang", "medium_hang", "short_hang", "shelf_length", "items_housed", "material_cost", "sheets"];

/** Cards of the layouts, in the order of the priorities as they stand. */
export function cards(study) {
  const order = preview(study);
  return html`<section class="layouts" aria-label="Layouts">
    <div class="bar">
      <h2>Layouts</h2>
      <div class="walls" role="group" aria-label="What the drawings show">
        ${Object.entries(VIEWS).map(([key, name]) => html`<button type="button" aria-pressed=${state.picture === key ? "true" : "false"}
          @click=${() => set({ picture: key })}>${name}</button>`)}
      </div>
    </div>
    <p class="hint">Material cost is what the build pack buys: whole sheets, lengths, packs and cans, hardware and finish,
      at invented prices without a currency. No labour, margin or tax.</p>
    ${repeat(order, ({ layout }) => layout.rank, ({ layout, score }, place) => card(study, layout, score, place))}
  </section>`;
}

function card(study, layout, score, place) {
  const { rank } = layout;
  const changed = score !== layout.score;
  const done = study.state === "done";
  return html`<article class="layout" id="layout-${rank}" tabindex="-1" aria-labelledby="layout-${rank}-title">
    <header>
      <h3 id="layout-${rank}-title">Layout ${rank}${layout.status === "provisional" ? html`, <span class="provisional">provisional</span>` : nothing}</h3>
      <p class="score"><b>${points(score)}</b> of 100${place === 0 ? html` <span class="first">first</span>` : nothing}
        <small>${changed ? `By these priorities; ${points(layout.score)} by the last search` : certainty(layout, study)}</small></p>
    </header>
    ${pictures(study, layout)}
    <dl class="figures small">${SHOWN.filter((name) => layout.metrics?.[name]).map((name) => html`<div>
      <dt>${METRICS[name]}${name === "material_cost" ? rough(layout) : nothing}</dt><dd>${figure(layout.metrics[name], unitOf(name, study.brief.units))}</dd></div>`)}</dl>
    ${unmet(study, layout)}
    ${layout.trade_off ? html`<p class="trade">${capital(layout.trade_off)}.</p>` : nothing}
    ${standing(layout, study.brief.units).map((line) => html`<p class="trade">${line}.</p>`)}
    ${bayList(layout, done)}
    <footer>
      <label class="tick"><input type="checkbox" id="compare-${rank}" .checked=${state.chosen.includes(rank)}
        @change=${() => toggle(rank)}> Compare</label>
      ${done && place > 0 ? html`<button type="button" class="plain" @click=${() => prefer(rank)}>I like this one best</button>` : nothing}
      ${done ? html`<a class="button" href=${addressOf({ view: "hand", study: study.id, hand: rank })}>Edit by hand<span class="unseen"> layout ${rank}</span></a>` : nothing}
      ${done ? html`<a class="button" href=${addressOf({ view: "pack", study: study.id, pack: rank })}>Build this one<span class="unseen"> layout ${rank}</span></a>` : nothing}
      ${done ? html`<a class="button" href=${customerAddress(study.id, rank)}>For the customer<span class="unseen">, layout ${rank}</span></a>` : nothing}
    </footer>
    ${liking(rank)}
  </article>`;
}

/** How far a cost that is an estimate may be off. */
const rough = ({ metrics }) =>
  (metrics.cost_error > 0 ? html` <small>(estimate, within ${Math.ceil(100 * metrics.cost_error)} %)</small>` : nothing);

/** Unit of a metric in a layout. */
export const unitOf = (name, units) =>
  ({ shelf_area: `${units}2`, items_housed: "pieces", material_cost: "currency", sheets: "sheets", parts: "parts" })[name] ?? units;

function pictures(study, layout) {
  const list = drawingsOf(study.id, layout);
  if (!list) return sketch(study, layout);
  if (list.error) return html`<p class="fault">No drawing: ${list.error.message}</p>`;
  if (state.picture === "model") return html`<div class="pictures">${modelView(layout)}</div>`;
  const items = ofView(list.value, state.picture);
  const chosen = state.bigWall.get(layout.rank);
  const big = items.find((item) => item.wall === chosen) ?? items[0];
  const others = items.filter((item) => item !== big);
  if (!pictureOf(big)) return sketch(study, layout);
  return html`<div class="pictures">
    <figure class="big"><div class="scroll" role="region" tabindex="0" aria-label="${caption(big)} of layout ${layout.rank}">${picture(layout, big, null, true)}</div>
      <figcaption>${caption(big)} <button type="button" class="plain" @click=${() => enlarge(big, layout)}>Enlarge<span
        class="unseen"> ${caption(big)} of layout ${layout.rank}</span></button></figcaption></figure>
    ${others.length ? html`<div class="others" role="group" aria-label="Other walls of layout ${layout.rank}">${repeat(others, (item) => item.svg, (item) => small(layout, item))}</div>` : nothing}
  </div>`;
}

/** The page's own model of a layout, at once, until the service has drawn it. */
const sketch = (study, layout) => html`<div class="pictures sketched">${modelPicture(study.brief, layout)}
  <p class="wait">Drawing layout ${layout.rank} to scale</p></div>`;

/** A drawing as a small picture that takes the large one's place. */
function small(layout, item) {
  const found = pictureOf(item)?.value;
  return html`<button type="button" class="small-picture" @click=${() => set({ bigWall: withEntry(state.bigWall, layout.rank, item.wall) })}>
    ${found ? html`<img src=${found.source} alt="">` : html`<span class="wait">Drawing</span>`}<span>${caption(item)}</span></button>`;
}

const caption = (item) => (item.view === "elevation" ? wallTitle(item.wall) : item.view === "plan" ? "Plan" : "Isometric view");

function unmet(study, layout) {
  if (!layout.unmet.length) return html`<p class="met">Everything you asked for is met.</p>`;
  return html`<ul class="unmet">${layout.unmet.map((one) => html`<li>
    <b>${unmetText(one, study.brief.units)}</b>, ${REASONS[one.reason]}. <span class="hint">${capital(one.detail)}.</span></li>`)}</ul>`;
}

function bayList(layout, done) {
  return html`<details class="more bays"><summary>Bays in words<span class="unseen"> of layout ${layout.rank}</span></summary>
    <ul>${layout.bays.map((bay) => html`<li><b>${bay.id}</b> ${bayText(bay)}
      ${done ? html`<button type="button" class="plain" aria-pressed=${isKept(layout, bay) ? "true" : "false"}
        @click=${() => keep(layout, bay)}>Keep<span class="unseen"> ${bay.id} of layout ${layout.rank}</span></button>` : nothing}</li>`)}
      ${(layout.mounts ?? []).map((mount) => html`<li><b>${mount.id}</b> ${mountText(mount)}</li>`)}</ul>
  </details>`;
}

function liking(rank) {
  const found = state.preference.get(rank);
  if (!found) return nothing;
  return html`<p class="remark">${capital(found.detail)}.
    ${found.answer === "possible" ? html`<button type="button" class="plain" @click=${() =>
      set({ weights: { ...found.priorities } })}>Set the sliders so</button>` : nothing}</p>`;
}
