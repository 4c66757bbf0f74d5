// The first sheet: the brief by form, with the live drawing beside it.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { check } from "./checking.js";
import { briefOf } from "./draft.js";
import { faultText } from "./faults.js";
import { textField } from "./fields.js";
import { loadFile, saveBrief, startFrom, startOver, switchUnits } from "./files.js";
import { buildForm, mattersForm } from "./form/build-form.js";
import { clothesForm, itemsForm, peopleForm, pinsNote } from "./form/needs-form.js";
import { roomForm } from "./form/room-form.js";
import { obstructionsForm, openingsForm } from "./form/things-form.js";
import { idOf, within } from "./pointers.js";
import { roomOf } from "./room.js";
import { roomPlan } from "./room-plan.js";
import { roomWall } from "./room-wall.js";
import { recentStudies } from "./recent.js";
import { addressOf, go } from "./router.js";
import { propose } from "./service.js";
import { announce, set, state } from "./store.js";

/** The sheet of the brief. */
export function briefView() {
  const room = roomOf(state.draft);
  const wall = room.walls[state.wall] ?? room.walls[0];
  return html`<div class="table">
    <section class="board" aria-label="Drawing of the room">
      <div class="paper">
        ${roomPlan(room)}
        ${wallTabs(room, wall)}
        ${roomWall(room, wall)}
        <p class="caption">Drawn as you type. Dashed and marked ?: not measured yet.</p>
      </div>
    </section>
    <form class="brief" novalidate @submit=${(event) => { event.preventDefault(); send(); }}>
      <h1>What you have, and what has to go in</h1>
      ${start()}
      ${roomForm(room)} ${openingsForm()} ${obstructionsForm()} ${clothesForm()} ${itemsForm()}
      ${peopleForm()} ${buildForm()} ${mattersForm()}
      ${pinsNote()}
      ${ending()}
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
    <div class="units" role="radiogroup" aria-label="Units">
      ${[["in", "Inches"], ["mm", "Millimetres"]].map(([key, name]) => html`<label>
        <input type="radio" name="units" value=${key} .checked=${live(key === units)} @change=${() => switchUnits(key)}> ${name}</label>`)}
    </div>
    <div class="adder"><label for="scenario">Start from an example</label>
      <select id="scenario" @change=${(event) => { startFrom(event.target.value); event.target.value = ""; }}>
        <option value="" selected>Choose</option>
        ${state.scenarios.map((one) => html`<option value=${one.name}>${one.title} (${one.units})</option>`)}
      </select></div>
    ${recent()}
    <div class="adds">
      <label class="plain file">Load a brief<input type="file" accept=".json,application/json" class="unseen" id="load" @change=${loadFile}></label>
      <button type="button" class="plain" @click=${saveBrief}>Save the brief</button>
      <button type="button" class="plain" @click=${startOver}>Start over</button>
    </div>
  </div>`;
}

function recent() {
  const studies = recentStudies();
  if (!studies.length) return nothing;
  return html`<details class="more"><summary>Go back to an earlier study</summary>
    <ul>${studies.map((one) => html`<li><a href=${addressOf({ view: "study", study: one.id })}>${one.name}</a>
      <small>${new Date(one.made).toLocaleString()}</small></li>`)}</ul></details>`;
}

function ending() {
  const { errors } = state.check;
  return html`<div class="ending">
    ${state.showAll && errors.length ? summary(errors) : nothing}
    <p class="state" id="checked">${stateText()}</p>
    <button type="submit" class="main" ?disabled=${state.sending}>${state.sending ? "Sending" : "Propose layouts"}</button>
  </div>`;
}

function stateText() {
  const { status, errors } = state.check;
  if (status === "sound") return "Complete: ready to propose.";
  if (status === "unreached") {
    return "The service cannot be reached: the drawing and your draft go on, checks and proposals wait.";
  }
  if (status !== "faulty") return "";
  return errors.length === 1 ? "One thing is still missing or wrong." : `${errors.length} things are still missing or wrong.`;
}

function summary(errors) {
  return html`<div class="summary" role="alert" id="faults" tabindex="-1">
    <h2>To put right first</h2>
    <ul>${errors.map((fault) => html`<li><a href="#brief" @click=${(event) => jump(event, fault.pointer)}>${faultText(fault)}</a></li>`)}</ul>
  </div>`;
}

function jump(event, pointer) {
  event.preventDefault();
  const places = [...document.querySelectorAll("[data-pointer]")].map((one) => one.dataset.pointer);
  const nearest = places.filter((place) => within(pointer, place)).sort((a, b) => b.length - a.length)[0];
  const inner = places.find((place) => within(place, pointer));
  const target = document.getElementById(idOf(nearest ?? inner ?? "/room")) ?? document.getElementById("part-room");
  for (let at = target; at; at = at.parentElement) if (at.tagName === "DETAILS") at.open = true;
  target.scrollIntoView({ block: "center" });
  target.focus();
}

async function send() {
  set({ sending: true, notice: null });
  try {
    if (!(await check()) && state.check.status === "faulty") return refuse();
    const study = await propose(briefOf(state.draft));
    go({ view: "study", study: study.id });
  } catch (error) {
    if (error.errors?.length) state.check = { status: "faulty", errors: error.errors, warnings: [] };
    if (error.errors?.length) return refuse();
    set({ needsKey: error.status === 401, notice: later(error) });
  } finally {
    set({ sending: false });
  }
  return undefined;
}

const later = (error) =>
  error.retryAfter ? `${error.message} Try again in ${error.retryAfter} s.` : error.message;

function refuse() {
  set({ showAll: true });
  announce("The brief is not complete.");
  requestAnimationFrame(() => document.getElementById("faults")?.focus());
}
