// The second sheet: a study with its layouts, as they are found and once they are there.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { take } from "../files.js";
import { addressOf } from "../router.js";
import { notify, set, state } from "../store.js";
import { again, stop } from "../current-study.js";
import { cards } from "./cards.js";
import { comparison } from "./comparison.js";
import { history } from "./history.js";
import { priorities } from "./priorities.js";
import { leaders, leaner } from "./leaders.js";
import { repairs } from "./repairs.js";
import { atMost, endingOf, points, sentence } from "./words.js";

/** The sheet of a study. */
export function studyView() {
  const { study } = state;
  if (state.missing) return absent(state.missing);
  if (!study) return html`<p class="wait" role="status">Reading the study</p>`;
  return html`<div class="study">
    <header class="head">
      <h1>${study.name}</h1>
      <p class="links">
        <a href="#brief" @click=${() => take(study.brief, "The brief of this study is in the form.")}>Change the brief</a>
        <button type="button" class="plain" @click=${share}>Copy the address</button>
      </p>
    </header>
    ${study.state === "done" ? ended(study) : running(study)}
    ${moved(study)}
    ${study.layouts.length ? html`<div class="beside">
      <div class="main-part">${cards(study)} ${comparison(study)}</div>
      <aside class="side-part" aria-label="Run again">
        ${priorities(study)} ${keeping(study)} ${leaders(study)} ${leaner(study)} ${repairs(study)} ${history(study)}
      </aside>
    </div>` : study.state === "done" ? html`${repairs(study)} ${history(study)}` : nothing}
    ${warnings(study)}
  </div>`;
}

function absent(error) {
  return html`<div class="study"><h1>There is no such study here</h1>
    <p>${error.status === 404
      ? "It may have been deleted: studies are kept for a time only."
      : error.message}</p>
    <p><a href="#brief">Back to the brief</a></p></div>`;
}

async function share() {
  const address = location.href;
  try {
    await navigator.clipboard.writeText(address);
    notify("The address is on the clipboard: whoever has it and reaches this service sees the study.");
  } catch {
    notify(`The address: ${address}`);
  }
}

function running(study) {
  const { progress } = state;
  const found = progress?.layouts_found ?? 0;
  const score = progress?.score ?? study.instant?.score ?? null;
  const bound = progress?.bound ?? study.instant?.bound ?? null;
  return html`<section class="running" aria-label="Search">
    <h2>${study.state === "queued" ? "Waiting for its turn" : stageText(study, progress)}</h2>
    ${instant(study)}
    <dl class="figures">
      <div><dt>Best so far</dt><dd>${score === null ? "none yet" : points(score)}</dd></div>
      <div><dt>At most</dt><dd>${bound === null ? "not known yet" : atMost(bound)}</dd></div>
      <div><dt>Time</dt><dd>${Math.round((progress?.seconds ?? 0) + (Date.now() - state.progressAt) / 1000)} s of ${study.brief.options.time_limit_s} s or so</dd></div>
      <div><dt>Layouts</dt><dd>${found} of ${study.brief.options.alternatives}</dd></div>
    </dl>
    ${gauge(score ?? 0, bound ?? 100)}
    ${state.reconnecting ? html`<p class="remark">The line is broken; trying again. The search goes on without it.</p>` : nothing}
    <button type="button" class="main" id="cancel" @click=${stop}>Stop and keep the best so far</button>
  </section>`;
}

function stageText({ layouts }, progress) {
  if (layouts[0]?.status === "provisional") return "A first layout is there; looking for a better one";
  return ({
    found: "A layout is found", leaders: "Looking for the best at each thing", repairs: "Trying what would help",
  })[progress?.stage] ?? "Looking for layouts";
}

function gauge(score, bound) {
  return html`<svg class="gauge" viewBox="0 0 200 10" preserveAspectRatio="none" role="img"
      aria-label="Best so far ${points(score)}, at most ${atMost(bound)}, of 100">
    <rect class="all" width="200" height="10"></rect>
    <rect class="bound" width=${Math.max(0, Math.min(200, bound * 2))} height="10"></rect>
    <rect class="score" width=${Math.max(0, Math.min(200, score * 2))} height="10"></rect>
  </svg>`;
}

function instant(study) {
  const { instant } = study;
  if (!instant) return nothing;
  if (!instant.possible) return html`<p class="remark">The layouts from before could not be ranked anew: ${instant.reason}.</p>`;
  return html`<p class="remark">Shown at once: the layouts from before, ranked anew. A new search can gain
    at most ${points(instant.gain)} points over the best of them.</p>`;
}

function ended(study) {
  const count = study.layouts.length;
  const several = study.exhausted ? " No further layout that differs enough is left." : "";
  return html`<p class="ended" id="ended"><strong>${count === 1 ? "One layout." : `${count} layouts.`}</strong>
    ${endingOf(study)}${several}
    ${study.problem ? html`<span class="fault">${study.problem.detail}</span>` : nothing}</p>`;
}

function moved(study) {
  if (!study.parent || !study.moved.length) return nothing;
  return html`<section class="moved"><h2>What changed against the run before</h2>
    <ul>${study.moved.map((line) => html`<li>${sentence(line)}</li>`)}</ul>
    <p><a href=${addressOf({ view: "study", study: study.parent })}>Back to the run before</a></p></section>`;
}

function keeping(study) {
  const bays = state.kept.size;
  const free = state.released.size;
  if (study.state !== "done") return nothing;
  return html`<section class="keeping">
    <h2>Keep what you like</h2>
    <p>Press a bay in a wall drawing to keep it exactly where it is in the next run.</p>
    ${bays || free ? html`<p>${bays ? `${bays === 1 ? "One bay" : `${bays} bays`} to keep. ` : ""}${free ? `${free} to let go.` : ""}</p>` : nothing}
    <label class="tick"><input type="checkbox" .checked=${state.stay} @change=${(event) => set({ stay: event.target.checked })}>
      Stay near layout 1 in the rest</label>
    <button type="button" class="plain" id="again" ?disabled=${state.sending || !(bays || free || state.stay)}
      @click=${() => again({}, { stability: state.stay ? 0.5 : 0 })}>Run again with these kept</button>
  </section>`;
}

function warnings(study) {
  if (!study.warnings.length) return nothing;
  return html`<section class="cautions"><h2>Worth knowing before you build</h2>
    <ul>${study.warnings.map((one) => html`<li>${sentence(one.detail)}</li>`)}</ul></section>`;
}
