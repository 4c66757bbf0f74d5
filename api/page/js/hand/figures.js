// What the layout in hand comes to, beside the layout it began as and the best that was proved.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { state } from "../store.js";
import { PRIORITIES } from "../stock.js";
import { unitOf } from "../study/cards.js";
import { atMost, figure, METRICS, points, sentence, unmetText } from "../study/words.js";
import { handLayout } from "./editor.js";

const SHOWN = ["long_hang", "medium_hang", "short_hang", "shelf_length", "open_floor", "items_housed", "material_cost", "sheets", "parts"];

/** Amounts of a layout from its zones alone, where the service tells none [brief units]. */
export function amountsOf({ bays }) {
  const sum = (fits) => bays.reduce((total, bay) => total + bay.width * bay.zones.filter(fits).length, 0);
  const hang = (name) => sum((zone) => zone.kind === "rod" && zone.hang === name);
  return {
    long_hang: hang("long"), medium_hang: hang("medium"), short_hang: hang("short"),
    shelf_length: sum((zone) => zone.kind === "shelf"),
    open_floor: sum((zone) => zone.kind === "floor" && !zone.items.length),
    items_housed: bays.flatMap((bay) => bay.zones.flatMap((zone) => zone.items)).length,
  };
}

/** The figures: yours, those it began with, and the first layout's with its bound. */
export function comesTo() {
  const { study, hand } = state;
  const own = { ...amountsOf(handLayout()), ...hand.check?.metrics };
  const began = study.layouts.find((one) => one.rank === hand.rank);
  const best = study.layouts.find((one) => one.rank === 1);
  const others = began === best ? [best] : [began, best];
  const { units } = study.brief;
  const rows = SHOWN.filter((name) => [own, ...others.map((one) => one.metrics ?? {})].some((one) => one[name]));
  const terms = hand.check?.terms ?? [];
  const scored = typeof hand.check?.score === "number";
  return html`<section class="comes-to" aria-labelledby="comes-to-title"><h2 id="comes-to-title">What it comes to</h2>
    ${told()}
    <div class="scroll" role="region" tabindex="0" aria-label="Yours beside the proposals"><table class="compare">
      <thead><tr><td></td><th scope="col">Yours</th>${others.map((one) => html`<th scope="col">Layout ${one.rank}</th>`)}</tr></thead>
      <tbody>
        ${!scored ? nothing : row("Score", [hand.check.score, ...others.map((one) => one.score)].map(points))}
        ${rows.map((name) => row(METRICS[name], [own, ...others.map((one) => one.metrics ?? {})]
          .map((one) => (one[name] === undefined ? "…" : figure(one[name], unitOf(name, units))))))}
        ${terms.length ? html`<tr><th scope="rowgroup" colspan=${others.length + 2}>Points of the score</th></tr>` : nothing}
        ${terms.map((term) => row(term.name === "needs" ? "What you asked for" : PRIORITIES[term.name]?.[0] ?? term.name,
          [term, ...others.map((one) => one.terms.find((other) => other.name === term.name))].map((one) => points(one?.points))))}
      </tbody></table></div></section>`;
}

const row = (name, texts) => html`<tr><th scope="row">${name}</th>${texts.map((text) => html`<td>${text}</td>`)}</tr>`;

/** How far it is from the layout it began as, and from the best that can be. */
function told() {
  const { against, structure, unmet } = state.hand.check ?? {};
  if (!against) return nothing;
  return html`<p id="beside">${sentence(against.summary)} ${state.hand.check.passed
      ? html`Proved: no layout scores more than ${atMost(against.bound)}.` : html`It counts only once every rule is kept.`}</p>
    ${structure ? html`<p class="hint">Strongest loaded: ${structure.of}, ${Math.ceil(structure.share * 100 - 1e-9)}% of its limit.</p>` : nothing}
    ${unmet?.length ? html`<ul class="unmet">${unmet.map((one) => html`<li>${unmetText(one, state.study.brief.units)}</li>`)}</ul>` : nothing}`;
}
