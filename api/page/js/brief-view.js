// The first sheet: the brief by form, with the live drawing beside it.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { textField } from "./fields.js";
import { loadFile, saveBrief, startFrom, startOver, switchUnits } from "./files.js";
import { pinsNote } from "./form/needs-form.js";
import { sectionView, standing } from "./form/section.js";
import { keepFold } from "./fields.js";
import { jobsView } from "./jobs-view.js";
import { send } from "./propose-strip.js";
import { roomOf } from "./room.js";
import { roomPlan } from "./room-plan.js";
import { roomWall } from "./room-wall.js";
import { recentStudies } from "./recent-studies.js";
import { addressOf } from "./router.js";
import { SECTIONS } from "./sections.js";
import { set, state } from "./store.js";
import { welcome } from "./welcome.js";

/** The sheet of the brief. */
export function briefView() {
  const room = roomOf(state.draft);
  const wall = room.walls[state.wall] ?? room.walls[0];
  const first = welcome();
  return html`${first}<div class="table">
    <section class="board" aria-label="Drawing of the room">
      <div class="paper">
        ${roomPlan(room)}
        ${wallTabs(room, wall)}
        ${roomWall(room, wall)}
        <p class="caption">Drawn as you type. Dashed and marked ?: not measured yet.</p>
      </div>
    </section>
    <form class="brief" novalidate @submit=${(event) => { event.preventDefault(); send(); }}>
      ${first === nothing ? html`<h1>What you have, and what has to go in</h1>` : html`<h2>Or your own closet</h2>`}
      ${start()}
      ${contents()}
      ${SECTIONS.map((section, index) => sectionView(section, index + 1, room))}
      ${pinsNote()}
      <button type="submit" class="unseen" tabindex="-1" aria-hidden="true">Propose</button>
    </form>
  </div>`;
}

function wallTabs(room, wall) {
  if (room.walls.length < 2) return nothing;
  return html`<div class="walls" role="group" aria-label="Wall shown below the plan">
    ${room.walls.map((one) => html`<button type="button" aria-pressed=${one === wall ? "true" : "false"}
      @click=${() => set({ wall: one.index })}>${one.id}</button>`)}
  </div>`;
}

function start() {
  const { units } = state.draft.brief;
  return html`<div class="starting">
    ${textField("/name", { label: "Name of the job", wide: true })}
    <div class="walls units" role="group" aria-label="Units">
      ${[["in", "Inches"], ["mm", "Millimetres"]].map(([key, name]) => html`<button type="button"
        aria-pressed=${key === units ? "true" : "false"} @click=${() => switchUnits(key)}>${name}</button>`)}
    </div>
    <div class="adder"><label for="scenario">Start from an example</label>
      <select id="scenario" @change=${(event) => { startFrom(event.target.value); event.target.value = ""; }}>
        <option value="" selected>Choose</option>
        ${state.scenarios.map((one) => html`<option value=${one.name}>${one.title} (${one.units})</option>`)}
      </select></div>
    <div class="adds">
      <label class="plain file">Load a brief<input type="file" accept=".json,application/json" class="unseen" id="load" @change=${loadFile}></label>
      <button type="button" class="plain" @click=${saveBrief}>Save the brief</button>
      <button type="button" class="plain" @click=${startOver}>Start over</button>
    </div>
    ${jobsView()}
    ${recent()}
  </div>`;
}

/** The sections by name, each with a tick or with what is to do. */
function contents() {
  return html`<nav class="sections" aria-label="Sections"><ol>${SECTIONS.map((section) => {
    const { faults, done } = standing(section);
    return html`<li><a href="#brief" class=${faults ? "todo" : done ? "done" : ""} @click=${(event) => goTo(event, section)}>
      <span aria-hidden="true">${faults ? "●" : done ? "✓" : "○"}</span> ${section.title}<span class="unseen">${
        faults ? ", to do" : done ? ", done" : ", nothing yet"}</span></a></li>`;
  })}</ol></nav>`;
}

function goTo(event, section) {
  event.preventDefault();
  keepFold(section.id, true);
  requestAnimationFrame(() => {
    const part = document.getElementById(`part-${section.id}`);
    part.scrollIntoView({ block: "start" });
    part.querySelector("summary").focus({ preventScroll: true });
  });
}

function recent() {
  const studies = recentStudies();
  if (!studies.length) return nothing;
  return html`<details class="more"><summary>Go back to an earlier study</summary>
    <ul>${studies.map((one) => html`<li><a href=${addressOf({ view: "study", study: one.id })}>${one.name}</a>
      <small>${new Date(one.made).toLocaleString()}</small></li>`)}</ul></details>`;
}
