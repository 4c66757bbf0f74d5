// Beside the ranking: for each priority the layout that does most for it.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { atMostShare, capital } from "./words.js";

const percent = (value) => `${Math.round(100 * value)} %`;

/** The leaders of a study, if it has any. */
export function leaders(study) {
  if (!study.leaders || !study.leaders.length) return nothing;
  return html`<section class="leaders">
    <h2>Best at one thing</h2>
    <p>Of all layouts within ${percent(study.brief.options.max_quality_loss)} of the best score.</p>
    <ul>${study.leaders.map((leader) => html`<li>
      <p><b>${capital(leader.names.join(", "))}</b>:
        ${leader.rank === null ? `another layout, of ${leader.layout.score.toFixed(1)} points` : `layout ${leader.rank}`},
        reaches ${leader.values.map(percent).join(", ")}${leader.proved ? " (proved)" : ` (at most ${atMostShare(Math.max(...leader.bounds))} is possible)`}.</p>
    </li>`)}</ul>
  </section>`;
}

/** For each layout the nearest that takes fewer sheets, if there is one. */
export function leaner(study) {
  if (!study.leaner || !study.leaner.length) return nothing;
  return html`<section class="leaders">
    <h2>Fewer sheets</h2>
    <ul>${study.leaner.map((one) => html`<li>
      <p><b>Layout ${one.rank}</b> with ${one.detail}: ${one.sheets} in place of ${one.sheets + one.saved} sheets,
        material ${one.material_cost.toFixed(2)}.</p>
    </li>`)}</ul>
  </section>`;
}
