// Sliders for the priorities: they order the layouts at once, and on release the study runs
// again. The service answers a rerun at once with its own ranking and a bound on the gain.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { slider } from "../form/build-form.js";
import { announce, set, state } from "../store.js";
import { again } from "../current-study.js";
import { PRIORITIES } from "../stock.js";
import { points } from "./words.js";

const PAUSE_MS = 700;
let timer = 0;

const differ = (study) =>
  Object.keys(PRIORITIES).some((name) => state.weights[name] !== study.brief.priorities[name]);

/**
 * The layouts with their scores under the sliders as they stand, best first. It weighs the
 * service's own terms of each layout; the share of the needs met is left as it was.
 */
export function preview(study) {
  const plain = study.layouts.map((layout) => ({ layout, score: layout.score }));
  if (!state.weights || !differ(study)) return plain;
  const total = Object.keys(PRIORITIES).reduce((sum, name) => sum + state.weights[name], 0);
  return plain.map(({ layout }) => ({ layout, score: weighed(layout, total) }))
    .sort((one, other) => other.score - one.score);
}

function weighed(layout, total) {
  const needs = layout.terms.find((term) => term.name === "needs");
  const others = layout.terms.filter((term) => term.name !== "needs");
  const spent = layout.terms.reduce((sum, term) => sum + term.weight, 0);
  const share = needs ? 1 - needs.weight / spent : 1;
  const earned = others.reduce((sum, term) => sum + (state.weights[term.name] ?? 0) * term.value, 0);
  return (needs?.points ?? 0) + (total ? (100 * share * earned) / total : 0);
}

/** The sliders. */
export function priorities(study) {
  const ready = study.state === "done";
  return html`<section class="weighing">
    <h2>What counts</h2>
    <p>Move a slider: the layouts are put in order at once. Let go, and a new search runs.</p>
    <div class="sliders">${Object.entries(PRIORITIES).map(([name, [label, text]]) => slider({
      id: `weight-${name}`, label, text, value: state.weights[name],
      onInput: (value) => weigh(name, value),
      onRelease: () => release(ready),
    }))}</div>
    ${leads()}
    ${differ(study) ? html`<p class="buttons">
      <button type="button" class="plain" @click=${() => set({ weights: { ...study.brief.priorities } })}>Back to how it was</button>
      <button type="button" class="plain" ?disabled=${!ready || state.sending} @click=${runNow}>Run again now</button></p>` : nothing}
  </section>`;
}

/** Where another layout would lead, from the service's own ranges. */
function leads() {
  const found = (state.ranges ?? []).flatMap((one) => [
    one.lower === null ? null : [one, `at ${amount(one.lower)} or less`, one.lower_layout],
    one.upper === null ? null : [one, `from ${amount(one.upper)} on`, one.upper_layout],
  ]).filter(Boolean);
  if (!found.length) return nothing;
  return html`<details class="more"><summary>Where another layout would come first</summary>
    <ul>${found.map(([one, where, rank]) => html`<li>${PRIORITIES[one.name]?.[0] ?? one.name} ${where}: layout ${rank}</li>`)}</ul>
  </details>`;
}

const amount = (value) => String(Number(value.toFixed(1)));

function weigh(name, value) {
  clearTimeout(timer);
  set({ weights: { ...state.weights, [name]: value } });
  const [first] = preview(state.study);
  if (first) announce(`Layout ${first.layout.rank} comes first with ${points(first.score)}.`);
}

function release(ready) {
  clearTimeout(timer);
  // Arrow keys release after each step: the search waits until they rest.
  if (ready) timer = setTimeout(runNow, PAUSE_MS);
}

function runNow() {
  clearTimeout(timer);
  const { study, weights } = state;
  if (!study || study.state !== "done" || !differ(study) || state.sending) return;
  again({ priorities: weights }, { stability: state.stay ? 0.5 : 0 });
}
