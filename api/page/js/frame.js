// What is around every sheet: the title block on top, notices, and cautions at the foot.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { briefView } from "./brief-view.js";
import { check } from "./brief-check.js";
import { customerView, isForCustomer } from "./customer-view.js";
import { enlarged } from "./enlarged-drawing.js";
import { handView } from "./hand/hand-view.js";
import { packView } from "./pack/pack-view.js";
import { addressOf } from "./router.js";
import { useKey } from "./service.js";
import { proposeStrip } from "./propose-strip.js";
import { set, state } from "./store.js";
import { studyView } from "./study/study-view.js";
import { open } from "./current-study.js";

const VIEWS = { brief: briefView, study: studyView, pack: packView, hand: handView, customer: customerView };

/** The whole page. */
export function frame() {
  const { route } = state;
  return html`
    <header class="title-block">
      <p class="mark"><svg viewBox="0 0 32 32" aria-hidden="true"><path d="M4 4V28H28V4M4 11H28M16 11V28M4 19H16M19 15h6"></path></svg>
        Closet layouts</p>
      ${isForCustomer() ? nothing : html`<nav aria-label="Sheets"><ol>
        ${sheet("brief", "Brief", "#brief")}
        ${sheet("study", "Layouts", state.study ? addressOf({ view: "study", study: state.study.id, compare: state.chosen }) : null)}
        ${sheet("pack", "Build", packAddress())}
      </ol></nav>`}
    </header>
    ${state.online ? nothing : html`<p class="notice" role="status">No line to the service. The brief, its drawing and
      what you have read go on; checks and new searches wait.</p>`}
    ${state.needsKey ? keyForm() : nothing}
    <main id="main" tabindex="-1">${VIEWS[route.view]()}</main>
    <section class="dock no-print" aria-label="Notices and the next step">
      <div role="status">${state.notice ? notice(state.notice) : nothing}</div>
      ${route.view === "brief" ? proposeStrip() : nothing}
    </section>
    ${enlarged()}
    ${isForCustomer() ? nothing : html`<footer class="foot">
      <p>Measure again before the first cut. Fasten to studs, and keep fasteners clear of cables and pipes.
        Sizes and strength figures are worked from what you typed and from typical boards: they do not replace
        your local code or a professional where one is called for.</p>
    </footer>`}`;
}

const notice = ({ text, act }) => html`<p class="notice">${text}
  ${act ? html`<button type="button" class="plain" @click=${() => { set({ notice: null }); act.run(); }}>${act.name}</button>` : nothing}
  <button type="button" class="plain" @click=${() => set({ notice: null })}>Close<span class="unseen"> the notice</span></button></p>`;

function packAddress() {
  const { route, study } = state;
  if (route.view === "pack") return addressOf(route);
  return study?.layouts.length && study.state === "done" ? addressOf({ view: "pack", study: study.id, pack: study.layouts[0].rank }) : null;
}

function sheet(view, name, address) {
  const here = state.route.view === view || (view === "study" && state.route.view === "hand");
  return html`<li>${address
    ? html`<a href=${address} aria-current=${here ? "page" : nothing}>${name}</a>`
    : html`<span class="later">${name}</span>`}</li>`;
}

function keyForm() {
  const use = (event) => {
    event.preventDefault();
    useKey(event.target.elements.key.value);
    set({ needsKey: false });
    check();
    if (state.route.study) open(state.route.study, state.route.compare);
  };
  return html`<form class="notice" @submit=${use}>
    <label>This service asks for an access key <input name="key" type="password" autocomplete="off" required></label>
    <button class="plain">Use it</button></form>`;
}
