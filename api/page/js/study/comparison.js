// Two to four layouts side by side: figures in one table, drawings to one scale.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { wallTitle } from "../faults.js";
import { commonFrame, drawingsOf, picture } from "../drawings.js";
import { state } from "../store.js";
import { PRIORITIES } from "../stock.js";
import { capital, figure, METRICS, points, REASONS, sentence, unmetText } from "./words.js";

/** The comparison of the chosen layouts. */
export function comparison(study) {
  const ranks = state.chosen.filter((rank) => study.layouts.some((layout) => layout.rank === rank));
  if (study.layouts.length < 2) return nothing;
  return html`<section class="comparison" id="comparison" aria-labelledby="comparison-title">
    <h2 id="comparison-title">Side by side</h2>
    ${ranks.length < 2 || !state.comparison
      ? html`<p>Tick two to four layouts above to compare them.</p>`
      : html`${table(state.comparison)} ${told(state.comparison)} ${drawings(study, ranks)}`}
  </section>`;
}

function table(found) {
  const ranks = found.layouts.map((one) => one.rank);
  return html`<div class="scroll" role="region" aria-label="Figures side by side" tabindex="0"><table class="compare">
    <caption>Figures of the layouts; ★ marks the best of a row</caption>
    <thead><tr><td></td>${ranks.map((rank) => html`<th scope="col">Layout ${rank}</th>`)}</tr></thead>
    <tbody>
      ${row("Score", found.layouts.map((one) => points(one.score)), bestOf(found.layouts.map((one) => one.score)))}
      ${found.metrics.filter((one) => one.values.some((value) => value)).map((one) => row(
        METRICS[one.name] ?? one.name, one.values.map((value) => figure(value, one.unit)),
        one.best.length < ranks.length ? ranks.map((rank) => one.best.includes(rank)) : []))}
    </tbody>
    <tbody>
      <tr><th scope="rowgroup" colspan=${ranks.length + 1}>Points of the score</th></tr>
      ${found.terms.map((one) => row(
        one.name === "needs" ? "What you asked for" : PRIORITIES[one.name]?.[0] ?? one.name,
        one.points.map(points), bestOf(one.points)))}
    </tbody>
  </table></div>`;
}

function bestOf(values) {
  const shown = values.map(points);
  const best = points(Math.max(...values));
  return shown.every((text) => text === best) ? [] : shown.map((text) => text === best);
}

const row = (name, texts, best) => html`<tr><th scope="row">${name}</th>
  ${texts.map((text, index) => html`<td class=${best[index] ? "best" : ""}>${text}${best[index]
    ? html` <span aria-hidden="true">★</span><span class="unseen">best</span>` : nothing}</td>`)}</tr>`;

function told(found) {
  const [first, ...others] = found.layouts;
  const { units } = found;
  return html`<div class="told">${others.map((one) => html`<section>
    <h3>Layout ${one.rank} against layout ${first.rank}</h3>
    ${one.trade_off ? html`<p>${capital(one.trade_off)}.</p>` : nothing}
    ${one.moved.length ? html`<ul>${one.moved.map((line) => html`<li>${sentence(line)}</li>`)}</ul>` : nothing}
  </section>`)}
  <section><h3>Not met</h3>
    <ul>${found.layouts.map((one) => html`<li>Layout ${one.rank}: ${one.unmet.length
      ? one.unmet.map((unmet) => `${unmetText(unmet, units)} (${REASONS[unmet.reason]})`).join("; ")
      : "everything is met"}.</li>`)}</ul></section></div>`;
}

function drawings(study, ranks) {
  const lists = ranks
    .map((rank) => drawingsOf(study.id, study.layouts.find((one) => one.rank === rank))?.value);
  if (lists.some((list) => !list)) return html`<p class="wait">Drawing</p>`;
  const walls = study.brief.room.walls.map((wall) => wall.id)
    .filter((id) => lists.some((list) => list.some((item) => item.wall === id)));
  const rows = [
    ...walls.map((id) => [wallTitle(id), (item) => item.wall === id]),
    ["Plan", (item) => item.view === "plan"],
    ["Isometric view", (item) => item.view === "isometric"],
  ];
  return rows.map(([name, fits]) => drawingRow(study, ranks, name, lists.map((list) => list.find(fits))));
}

function drawingRow(study, ranks, name, items) {
  const frame = commonFrame(items.filter(Boolean));
  return html`<section class="same-scale"><h3>${name}, to one scale</h3>
    <div class="scroll" role="region" aria-label="${name}, side by side" tabindex="0">
      <div class="columns of-${ranks.length}">${ranks.map((rank, index) => html`<figure>
        ${items[index] ? picture(study.layouts.find((one) => one.rank === rank), items[index], frame)
          : html`<p class="wait">Nothing stands on this wall</p>`}
        <figcaption>Layout ${rank}</figcaption></figure>`)}</div>
    </div></section>`;
}
