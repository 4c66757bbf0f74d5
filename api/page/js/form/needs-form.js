// What has to go in: clothes, shelves, bulky things, and who reaches for them.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { sizeText } from "../draft.js";
import { add, edit } from "../draft-changes.js";
import { capital, wallTitle } from "../faults.js";
import {
  choiceField, lengthField, numberField, removeButton, sectionFaults, textField, tickField,
} from "../fields.js";
import { announce, state } from "../store.js";
import { BULKY, GARMENTS, PLACES, STORED, USES } from "../stock.js";
import { mountedForm } from "./mounted-form.js";
import { freeName } from "./names.js";
import { counted } from "./section.js";
import { usual } from "./things-form.js";

const LENGTHS = ["long_hang", "medium_hang", "short_hang", "shelf_length", "shelf_spacing", "shelf_depth"];

/** The section of clothes and shelves. */
export const clothesSection = {
  id: "clothes", title: "Clothes and shelves", first: true,
  places: ["/needs/garments", "/needs/stored", ...LENGTHS.map((name) => `/needs/${name}`)],
  none: "As much as goes in",
  told: ({ needs }) => [
    needs.garments.length ? counted(needs.garments.length, "kind of garment", "kinds of garment") : "",
    needs.stored?.length ? counted(needs.stored.length, "kind of thing on shelves", "kinds of things on shelves") : "",
    LENGTHS.slice(0, 3).some((name) => Number.parseFloat(needs[name])) ? "rods" : "",
    Number.parseFloat(needs.shelf_length) ? "shelves" : "",
  ].filter(Boolean).join(", "),
  view: clothesForm,
};

function clothesForm() {
  const { garments } = state.draft.brief.needs;
  return html`
    <p class="lead">Count what hangs, or give the rod you want; both add up. Without any amount as
      much goes in as your priorities favour.</p>
    ${sectionFaults("/needs")}
    <h3>Count the clothes</h3>
    ${garments.map(garmentRow)}
    <div class="adder"><label for="add-garment">Add a kind of garment</label>
      <select id="add-garment" data-adds @change=${addGarment}>
        <option value="" selected>Choose</option>
        ${GARMENTS.map(([group, kinds]) => html`<optgroup label=${group}>
          ${kinds.map((kind) => html`<option value=${kind}>${capital(kind)}</option>`)}</optgroup>`)}
      </select></div>
    <h3>Or give rod lengths</h3>
    <div class="grid">
      ${lengthField("/needs/long_hang", { label: "Long hang", hint: "Dresses and coats" })}
      ${lengthField("/needs/medium_hang", { label: "Medium hang", hint: "Short coats, long skirts" })}
      ${lengthField("/needs/short_hang", { label: "Short hang", hint: "Shirts, jackets, folded trousers" })}
    </div>
    <h3>Count what goes on shelves</h3>
    ${sectionFaults("/needs/stored")}
    ${(state.draft.brief.needs.stored ?? []).map(storedRow)}
    <div class="adder"><label for="add-stored">Add things on shelves</label>
      <select id="add-stored" data-adds @change=${addStored}>
        <option value="" selected>Choose</option>
        ${STORED.map(([group, kinds]) => html`<optgroup label=${group}>
          ${kinds.map((kind) => html`<option value=${kind}>${capital(kind)}</option>`)}</optgroup>`)}
      </select></div>
    <h3>Shelves</h3>
    <div class="grid">
      ${lengthField("/needs/shelf_length", { label: "Shelf, all together" })}
      ${lengthField("/needs/shelf_spacing", { label: "From shelf to shelf", placeholder: usual(12, 300) })}
      ${lengthField("/needs/shelf_depth", { label: "Shelf depth", placeholder: usual(12, 300) })}
    </div>`;
}

function garmentRow(line, index) {
  return html`<div class="row slim" role="group" aria-label=${line.kind}>
    ${numberField(`/needs/garments/${index}/count`, { label: `${capital(line.kind)}, how many` })}
    ${removeButton("/needs/garments", index, line.kind)}
  </div>`;
}

function storedRow(line, index) {
  return html`<div class="row slim" role="group" aria-label=${line.kind}>
    ${numberField(`/needs/stored/${index}/count`, { label: `${capital(line.kind)}, how many` })}
    ${removeButton("/needs/stored", index, line.kind)}
  </div>`;
}

const addStored = (event) => addCounted(event, "stored");
const addGarment = (event) => addCounted(event, "garments");

/** A line for the kind that was chosen, or the one there is, with the focus on its count. */
function addCounted(event, list) {
  const kind = event.target.value;
  event.target.value = "";
  if (!kind) return;
  const there = (state.draft.brief.needs[list] ?? []).findIndex((line) => line.kind === kind);
  const index = there < 0 ? add(`/needs/${list}`, { kind, count: "" }, kind) : there;
  focusSoon(`at-needs-${list}-${index}-count`);
}

/** Move the focus to what will have been drawn. */
export const focusSoon = (id) => requestAnimationFrame(() => document.getElementById(id)?.focus());

/** The section of bulky things. */
export const itemsSection = {
  id: "items", title: "Bulky things, hooks, mirrors", places: ["/needs/items", "/needs/hooks", "/needs/mirrors"], none: "Hamper, suitcases: nothing yet",
  told: ({ needs }) => [
    needs.items.length ? counted(needs.items.length, "kind of thing", "kinds of things") : "",
    needs.hooks?.length ? "hooks" : "",
    needs.mirrors?.length ? counted(needs.mirrors.length, "mirror") : "",
  ].filter(Boolean).join(", "),
  view: itemsForm,
};

function itemsForm() {
  const { items } = state.draft.brief.needs;
  return html`
    <p class="lead">Sizes are typical ones of ours: change them to what you measure.</p>
    ${sectionFaults("/needs/items")}
    ${items.map(itemRow)}
    <div class="adder"><label for="add-item">Add a bulky thing</label>
      <select id="add-item" data-adds @change=${addItem}>
        <option value="" selected>Choose</option>
        ${BULKY.map((one) => html`<option value=${one.id}>${one.title}</option>`)}
        <option value="thing">Something else</option>
      </select></div>
    ${mountedForm()}`;
}

function itemRow(item, index) {
  const base = `/needs/items/${index}`;
  const weight = state.draft.brief.units === "mm" ? ["weight_kg", "kg"] : ["weight_lb", "lb"];
  return html`<div class="row" role="group" aria-label=${item.id || "bulky thing"}>
    <div class="grid">
      ${textField(`${base}/id`, { label: "Name" })}
      ${numberField(`${base}/count`, { label: "How many", placeholder: "1" })}
      ${lengthField(`${base}/width`, { label: "Width" })}
      ${lengthField(`${base}/depth`, { label: "Depth" })}
      ${lengthField(`${base}/height`, { label: "Height" })}
      ${numberField(`${base}/${weight[0]}`, { label: `Weight of one, ${weight[1]}` })}
      ${choiceField(`${base}/place`, { label: "Where", options: PLACES })}
      ${choiceField(`${base}/use`, { label: "Wanted", options: USES })}
    </div>
    <details class="more" ?open=${Boolean(item.fits_between)}><summary>A bought unit of drawers or baskets?</summary>
      <p class="hint">It gets a bay of the inside width that its maker asks for, shelves above it.</p>
      <div class="grid">
        ${lengthField(`${base}/fits_between/least`, { label: "Inside width, at least" })}
        ${lengthField(`${base}/fits_between/most`, { label: "Inside width, at most" })}
        ${numberField(`${base}/price`, { label: "Price of one" })}
      </div></details>
    ${removeButton("/needs/items", index, item.id)}
  </div>`;
}

function addItem(event) {
  const key = event.target.value;
  event.target.value = "";
  if (!key) return;
  const { units, needs } = state.draft.brief;
  const known = BULKY.find((one) => one.id === key);
  const size = (name) => (known ? sizeText(known[name], units) : "");
  const weight = known ? String(units === "mm" ? Math.round(known.weight * 0.454) : known.weight) : "";
  const index = add("/needs/items", {
    id: freeName(key, needs.items), count: "1", width: size("width"), depth: size("depth"),
    height: size("height"), [units === "mm" ? "weight_kg" : "weight_lb"]: weight,
    place: known?.place ?? "floor", use: known?.use ?? "weekly",
  }, known?.title ?? "a bulky thing");
  announce(`${known?.title ?? "Something else"} added.`);
  focusSoon(`at-needs-items-${index}-width`);
}

/** The section of people. */
export const peopleSection = {
  id: "people", title: "Who reaches for it", places: ["/needs/users", "/needs/accessible_reach", "/needs/aisle"],
  none: "Anybody: common heights",
  told: ({ needs }) => [
    needs.users.length ? counted(needs.users.length, "person", "people") : "",
    needs.accessible_reach ? "reach from a wheelchair" : "",
  ].filter(Boolean).join(", "),
  view: peopleForm,
};

function peopleForm() {
  const { users } = state.draft.brief.needs;
  return html`
    <p class="lead">Rods and daily things are kept where everybody here reaches them. Without
      anybody, a common shelf and rod height is used.</p>
    ${users.map(userRow)}
    <div class="adds">
      <button type="button" class="plain" data-adds @click=${() => addUser({ stature: "" })}>Add a grown-up</button>
      <button type="button" class="plain" @click=${() => addUser({ age: "" })}>Add a child</button>
      <button type="button" class="plain" @click=${() => addUser({ posture: "seated" })}>Add someone seated</button>
    </div>
    <div class="grid">
      ${tickField("/needs/accessible_reach", { label: "Keep rods and daily things within reach from a wheelchair" })}
      ${lengthField("/needs/aisle", { label: "Clear way in front of storage", placeholder: usual(24, 600), hint: "In a walk-in; 36 in (915 mm) is comfortable." })}
    </div>`;
}

function userRow(user, index) {
  const base = `/needs/users/${index}`;
  const name = `person ${index + 1}`;
  return html`<div class="row slim" role="group" aria-label=${name}>
    ${user.posture === "seated" ? html`<p>Someone seated</p>`
      : user.age !== undefined ? numberField(`${base}/age`, { label: "Child, age in years" })
      : lengthField(`${base}/stature`, { label: "Grown-up, height", placeholder: usual("5' 6\"", 1680) })}
    ${sectionFaults(base)}
    ${removeButton("/needs/users", index, name)}
  </div>`;
}

function addUser(user) {
  const index = add("/needs/users", user, "a person");
  const field = user.age === undefined ? "stature" : "age";
  if (user.posture === undefined) focusSoon(`at-needs-users-${index}-${field}`);
}

/** Bays, hooks and mirrors that a rerun or a file asked to keep. */
export function pinsNote() {
  const { pins = [], mount_pins: mounts = [] } = state.draft.brief;
  if (!pins.length && !mounts.length) return nothing;
  const told = [
    ...pins.map((pin) => `a bay ${pin.width} wide on ${wallTitle(pin.wall)}`),
    ...mounts.map((pin) => `${pin.mount} on ${wallTitle(pin.wall)}`),
  ];
  const free = () => edit("letting go of what was kept", (brief) => ({ ...brief, pins: [], mount_pins: [] }));
  return html`<p class="remark">This brief keeps of an earlier layout: ${told.join("; ")}.
    <button type="button" class="plain" @click=${free}>Let go of ${told.length === 1 ? "it" : "them"}</button></p>`;
}
