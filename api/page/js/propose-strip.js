// Sending the brief: what is missing is told beside the button, and so is a refusal.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { check, isSound } from "./brief-check.js";
import { briefOf } from "./draft.js";
import { redo, undo } from "./draft-changes.js";
import { faultText, placeOf } from "./faults.js";
import { keepFold } from "./fields.js";
import { guesses } from "./guesses.js";
import { idOf, within } from "./pointers.js";
import { go } from "./router.js";
import { SECTIONS } from "./sections.js";
import { propose } from "./service.js";
import { announce, notify, set, state } from "./store.js";
import { later } from "./current-study.js";
import { toRedo, toUndo } from "./versions.js";

const NAMED = 2;

/** The strip with undo, redo, what is missing and the button that sends the brief. */
export function proposeStrip() {
  const { errors } = state.check;
  return html`
    ${state.showAll && errors.length ? summary(errors) : nothing}
    <div class="strip">
      <div class="undoing" role="group" aria-label="Changes">
        ${stepButton("Undo", "↶", toUndo(state.versions), undo)}
        ${stepButton("Redo", "↷", toRedo(state.versions), redo)}
      </div>
      <p class="state" id="checked">${stateText()}</p>
      <button type="button" class="main" aria-describedby="checked" ?disabled=${state.sending}
        @click=${send}>${state.sending ? "Sending" : "Propose layouts"}</button>
    </div>`;
}

const stepButton = (name, sign, what, run) => html`<button type="button" class="plain" ?disabled=${what === null}
  title=${what === null ? name : `${name}: ${what}`} @click=${run}><span aria-hidden="true">${sign}</span>
  <span class="wordy">${name}</span><span class="unseen">${what === null ? "" : ` ${what}`}</span></button>`;

function stateText() {
  const { status, errors } = state.check;
  if (status === "sound") return html`Complete: ready to propose. ${guessed()}`;
  if (status === "busy") return "The service is busy: your draft is kept, and checked again shortly.";
  if (status === "unreached") {
    return "The service cannot be reached: the drawing and your draft go on, checks and proposals wait.";
  }
  if (status !== "faulty") return "";
  const rest = errors.length - NAMED;
  const missing = errors.every((fault) => fault.code === "missing");
  return html`${missing ? "Still missing:" : "To put right:"}
    ${errors.slice(0, NAMED).map((fault, index) => html`${index ? "; " : " "}${link(fault, true)}`)}${rest > 0 ? `; and ${rest} more` : ""}.`;
}

function guessed() {
  const names = [...new Set(guesses(state.draft).map((one) => one.name))];
  return names.length ? html`<small>Guessed: ${names.join(", ")}.</small>` : nothing;
}

const link = (fault, short = false) => html`<a href="#brief" @click=${(event) => jump(event, fault.pointer)}>${
  (short && placeOf(fault.pointer)) || faultText(fault)}</a>`;

function summary(errors) {
  return html`<div class="summary" role="alert" id="faults" tabindex="-1">
    <h2>To put right first</h2>
    <ul>${errors.map((fault) => html`<li>${link(fault)}</li>`)}</ul>
  </div>`;
}

/** Go to the field of a fault, unfolding what it lies in. */
function jump(event, pointer) {
  event.preventDefault();
  const section = SECTIONS.find(({ places }) => places.some((place) => within(pointer, place))) ?? SECTIONS[0];
  keepFold(section.id, true);
  requestAnimationFrame(() => {
    const places = [...document.querySelectorAll("[data-pointer]")].map((one) => one.dataset.pointer);
    const nearest = places.filter((place) => within(pointer, place)).sort((a, b) => b.length - a.length)[0];
    const inner = places.find((place) => within(place, pointer));
    const target = document.getElementById(idOf(nearest ?? inner ?? "/room")) ?? document.getElementById("part-room");
    for (let at = target; at; at = at.parentElement) if (at.tagName === "DETAILS") at.open = true;
    target.scrollIntoView({ block: "center" });
    target.focus();
  });
}

/** Send the brief, if it is complete, and go to its study. */
export async function send() {
  set({ sending: true, notice: null });
  try {
    if (!isSound() && !(await check()) && state.check.status === "faulty") return refuse();
    const study = await propose(briefOf(state.draft));
    set({ showAll: false, handed: study });
    go({ view: "study", study: study.id });
  } catch (error) {
    if (error.errors?.length) set({ check: { status: "faulty", errors: error.errors, warnings: [] } });
    if (error.errors?.length) return refuse();
    if (error.status === 401) set({ needsKey: true });
    notify(later(error), error.status === 401 ? null : { name: "Try again", run: send });
  } finally {
    set({ sending: false });
  }
  return undefined;
}

function refuse() {
  set({ showAll: true });
  announce("The brief is not complete.");
  requestAnimationFrame(() => document.getElementById("faults")?.focus());
}
