// Fields of the form. Each is bound to its place in the brief by a JSON Pointer, and shows
// the faults that the service found there.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { live } from "../vendor/lit-html/directives/live.js";
import { lengthOf } from "./draft.js";
import { put, remove, rest } from "./draft-changes.js";
import { detailOf, sentence } from "./faults.js";
import { readLength, understood } from "./lengths.js";
import { guessAt } from "./guesses.js";
import { idOf, read, within } from "./pointers.js";
import { set, state } from "./store.js";

export { put };

/** The text at a place of the draft. */
export const valueAt = (pointer) => read(state.draft.brief, pointer) ?? "";

/** Faults shown at a field: those of its own place and of what lies within it. */
export function faultsAt(pointer, { inner = true } = {}) {
  if (!state.showAll && !state.touched.has(pointer)) return [];
  return state.check.errors.filter((fault) =>
    inner ? within(fault.pointer, pointer) : fault.pointer === pointer);
}

/** Notices of the service about a field; they do not stop a proposal. */
const noticesAt = (pointer) =>
  state.check.warnings.filter((one) => within(one.pointer, pointer));

function messages(pointer, faults, notices) {
  const id = idOf(pointer);
  return html`
    ${faults.length
      ? html`<p class="fault" id="${id}-fault">${faults.map((one) => html`<span>${sentence(detailOf(one))}</span> `)}</p>`
      : nothing}
    ${notices.length
      ? html`<p class="remark" id="${id}-remark">${notices.map((one) => html`<span>${sentence(one.detail)}</span> `)}</p>`
      : nothing}`;
}

function describedBy(pointer, faults, notices, hint, note) {
  const id = idOf(pointer);
  const ids = [note && `${id}-said`, hint && `${id}-hint`, faults.length && `${id}-fault`, notices.length && `${id}-remark`];
  return ids.filter(Boolean).join(" ") || nothing;
}

/** Whatever is around a control: label, hint, faults. */
function framed(pointer, { label, hint, faults, notices, wide, note }, control) {
  return html`<div class="field ${wide ? "wide" : ""} ${faults.length ? "faulty" : ""}" data-pointer=${pointer}>
    <label for=${idOf(pointer)}>${label}</label>
    ${control}
    ${note ? html`<span class="said" id="${idOf(pointer)}-said">${note}</span>` : nothing}
    ${hint ? html`<p class="hint" id="${idOf(pointer)}-hint">${hint}</p>` : nothing}
    ${messages(pointer, faults, notices)}
  </div>`;
}

const leave = (pointer) => () => {
  rest();
  if (state.touched.has(pointer) || valueAt(pointer) === "") return;
  set({ touched: new Set(state.touched).add(pointer) });
};

function localFault(text, several) {
  const parts = several ? text.split(";") : [text];
  const faults = parts.filter((part) => part.trim())
    .map((part) => readLength(part.trim(), state.draft.brief.units).fault);
  const first = faults.find((fault) => fault !== null);
  return first ? [{ pointer: "", detail: first }] : [];
}

/** A length, typed as people say it. `several` takes readings apart by semicolons. */
export function lengthField(pointer, { label, hint, placeholder = "", several = false, wide = false } = {}) {
  const text = String(valueAt(pointer));
  const { units } = state.draft.brief;
  const known = lengthOf(text, units);
  const local = state.touched.has(pointer) || state.showAll ? localFault(text, several) : [];
  const faults = local.length ? local : faultsAt(pointer);
  const notices = noticesAt(pointer);
  const guess = guessAt(state.draft, pointer);
  const note = guess !== null ? `Guess: ${guess}, until you measure`
    : known !== null && known < 1e6 ? understood(known, units) : "";
  return framed(pointer, { label, hint, faults, notices, wide, note }, html`<input
    id=${idOf(pointer)} type="text" inputmode="text" autocomplete="off" spellcheck="false"
    maxlength=${several ? 200 : 40} placeholder=${guess ?? placeholder} .value=${live(text)}
    class=${guess === null ? "" : "guess"} aria-invalid=${faults.length ? "true" : "false"}
    aria-describedby=${describedBy(pointer, faults, notices, hint, note)}
    @input=${(event) => put(pointer, event.target.value)} @blur=${leave(pointer)}>`);
}

/** A plain number. */
export function numberField(pointer, { label, hint, placeholder = "" } = {}) {
  const faults = faultsAt(pointer);
  const notices = noticesAt(pointer);
  return framed(pointer, { label, hint, faults, notices }, html`<input
    id=${idOf(pointer)} type="text" inputmode="decimal" autocomplete="off" maxlength="12"
    placeholder=${placeholder} .value=${live(String(valueAt(pointer)))}
    aria-invalid=${faults.length ? "true" : "false"}
    aria-describedby=${describedBy(pointer, faults, notices, hint)}
    @input=${(event) => put(pointer, event.target.value)} @blur=${leave(pointer)}>`);
}

/** A short text. */
export function textField(pointer, { label, hint, wide = false, onInput } = {}) {
  const faults = faultsAt(pointer);
  const take = onInput ?? ((value) => put(pointer, value));
  return framed(pointer, { label, hint, faults, notices: [], wide }, html`<input
    id=${idOf(pointer)} type="text" autocomplete="off" maxlength="200" .value=${live(String(valueAt(pointer)))}
    aria-invalid=${faults.length ? "true" : "false"} aria-describedby=${describedBy(pointer, faults, [], hint)}
    @input=${(event) => take(event.target.value)} @blur=${rest}>`);
}

/** One of several; `options` maps values to names. */
export function choiceField(pointer, { label, hint, options, empty } = {}) {
  const faults = faultsAt(pointer);
  const notices = noticesAt(pointer);
  const value = String(valueAt(pointer));
  return framed(pointer, { label, hint, faults, notices }, html`<select
    id=${idOf(pointer)} .value=${live(value)} aria-invalid=${faults.length ? "true" : "false"}
    aria-describedby=${describedBy(pointer, faults, notices, hint)}
    @change=${(event) => put(pointer, event.target.value)}>
    ${empty === undefined ? nothing : html`<option value="" ?selected=${value === ""}>${empty}</option>`}
    ${Object.entries(options).map(([key, name]) =>
      html`<option value=${key} ?selected=${key === value}>${name}</option>`)}
  </select>`);
}

/** Yes or no. */
export function tickField(pointer, { label, hint } = {}) {
  const faults = faultsAt(pointer);
  return html`<div class="field tick wide" data-pointer=${pointer}>
    <label><input id=${idOf(pointer)} type="checkbox" .checked=${live(valueAt(pointer) === true)}
      aria-describedby=${describedBy(pointer, faults, [], hint)}
      @change=${(event) => put(pointer, event.target.checked)}> ${label}</label>
    ${hint ? html`<p class="hint" id="${idOf(pointer)}-hint">${hint}</p>` : nothing}
    ${messages(pointer, faults, [])}
  </div>`;
}

/** Faults of a whole section, for which there is no single field. */
export function sectionFaults(pointer) {
  const faults = state.showAll || touchedWithin(pointer)
    ? state.check.errors.filter((fault) => fault.pointer === pointer) : [];
  const notices = state.check.warnings.filter((one) => one.pointer === pointer);
  return html`<div data-pointer=${pointer} id=${idOf(pointer)} tabindex="-1">${messages(pointer, faults, notices)}</div>`;
}

const touchedWithin = (pointer) => [...state.touched].some((one) => within(one, pointer));

/** A button that takes an entry of a list out. */
export function removeButton(pointer, index, name) {
  return html`<button type="button" class="plain" @click=${(event) => {
    const adder = event.target.closest(".part")?.querySelector("[data-adds]");
    remove(pointer, index, name);
    adder?.focus();
  }}>Remove<span class="unseen"> ${name}</span></button>`;
}

/**
 * What can be unfolded: open where `need` asks for it, then as the person leaves it. It never
 * folds by itself.
 */
export function fold(key, need, summary, body) {
  const open = state.unfolded.get(key) ?? need;
  return html`<details class="more" ?open=${open} @toggle=${(event) => keepFold(key, event.target.open)}>
    <summary>${summary}</summary>${body}</details>`;
}

/** Remember that something is unfolded, or not. */
export function keepFold(key, open) {
  if (state.unfolded.get(key) !== open) set({ unfolded: new Map(state.unfolded).set(key, open) });
}
