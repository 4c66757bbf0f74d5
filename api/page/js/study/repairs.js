// What a single change of the brief would bring, as buttons that apply it and run again.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { state } from "../store.js";
import { again } from "../current-study.js";
import { capital } from "./words.js";

/** The repairs of a study. */
export function repairs(study) {
  if (!study.repairs.length) return nothing;
  return html`<section class="repairs">
    <h2>What would help</h2>
    <ul>${study.repairs.map((repair) => html`<li>
      <p><b>${capital(repair.change)}</b>: ${repair.effect}${repair.proved ? "" : " (not proved in the time)"}.</p>
      ${Object.keys(repair.patch).length ? html`<button type="button" class="plain" ?disabled=${state.sending}
        @click=${() => again(repair.patch)}>Do this and run again<span class="unseen"> ${repair.change}</span></button>` : nothing}
    </li>`)}</ul>
  </section>`;
}
