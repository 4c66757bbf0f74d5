// What the layout in hand comes to, beside the layout it began as and the best that was proved.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { state } from "../store.js";
import { PRIORITIES } from "../stock.js";
import { unitOf } from "../study/cards.js";
import { figure, METRICS, points } from "../study/words.js";
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
  return html`<section class="comes-to" aria-labelledby="comes-to-title"><h2 id="comes-to-title">What it comes to</h2>
    ${told(best)}
    <div class="scroll" role="region" tabindex="0" aria-label="Yours beside the proposals"><table class="compare">
      <thead><tr><td></td><th scope="col">Yours</th>${others.map((one) => html`<th scope="col">Layout ${one.rank}</th>`)}</tr></thead>
      <tbody>
        ${hand.check?.score === undefined ? nothing : row("Score", [hand.check.score, ...others.map((one) => one.score)].map(points))}
        ${rows.map((name) => row(METRICS[name], [own, ...others.map((one) => one.metrics ?? {})]
          .map((one) => (one[name] === undefined ? "…" : figure(one[name], unitOf(name, units))))))}
        ${terms.length ? html`<tr><th scope="rowgroup" colspan=${others.length + 2}>Points of the score</th></tr>` : nothing}
        ${terms.map((term) => row(term.name === "needs" ? "What you asked for" : PRIORITIES[term.name]?.[0] ?? term.name,
          [term, ...others.map((one) => one.terms.find((other) => other.name === term.name))].map((one) => points(one?.points))))}
      </tbody></table></div></section>`;
}

const row = (name, texts) => html`<tr><th scope="row">${name}</th>${texts.map((text) => html`<td>${text}</td>`)}</tr>`;

/** How far it is from the best that can be. */
function told(best) {
  const { score } = state.hand.check ?? {};
  if (score === undefined || !state.hand.check.passed) return nothing;
  const gap = best.score - score;
  const most = points(best.bound);
  if (gap > 0.05) return html`<p>${points(gap)} points under layout 1; no layout can have more than ${most}.</p>`;
  if (gap < -0.05) return html`<p>${points(-gap)} points over layout 1; no layout of the bays searched can have more than ${most}.</p>`;
  return html`<p>As many points as layout 1; no layout can have more than ${most}.</p>`;
}
