// What is in the walls and on them: ways in, windows, outlets and the like.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { sizeText } from "../draft.js";
import { add } from "../draft-changes.js";
import { wallTitle } from "../faults.js";
import {
  choiceField, faultsAt, fold, lengthField, removeButton, sectionFaults, textField, tickField, valueAt,
} from "../fields.js";
import { state } from "../store.js";
import { KEPT_CLEAR, OBSTRUCTIONS, OPENING_KINDS } from "../stock.js";
import { counted } from "./section.js";

const walls = () =>
  Object.fromEntries(state.draft.brief.room.walls.map((wall) => [wall.id, wallTitle(wall.id)]));

/** The section of doors and doorways. */
export const openingsSection = {
  id: "openings", title: "Doors and doorways", first: true, places: ["/room/openings"],
  none: "None: open in front",
  told: ({ room }) => (room.openings.some((one) => one.width) ? counted(room.openings.length, "door or doorway", "doors or doorways") : ""),
  view: openingsForm,
};

function openingsForm() {
  const { openings } = state.draft.brief.room;
  return html`
    <p class="lead">Positions run from the wall's left end, as you face that wall from inside.
      You can also drag what is in the drawing.</p>
    ${sectionFaults("/room/openings")}
    ${openings.map(openingRow)}
    <p><button type="button" class="plain" data-adds @click=${addOpening}>Add a door or doorway</button></p>`;
}

function openingRow(opening, index) {
  const base = `/room/openings/${index}`;
  const name = `door ${index + 1}`;
  const inner = ["height", "casing", "hinge"].map((one) => `${base}/${one}`);
  const need = inner.slice(0, 2).some((pointer) => faultsAt(pointer).length || valueAt(pointer) !== "");
  const hung = ["hinged_in", "hinged_out"].includes(opening.kind);
  return html`<div class="row" role="group" aria-label=${name}>
    <div class="grid">
      ${choiceField(`${base}/kind`, { label: "Kind", options: OPENING_KINDS })}
      ${choiceField(`${base}/wall`, { label: "In", options: walls() })}
      ${lengthField(`${base}/width`, { label: "Clear width" })}
      ${lengthField(`${base}/start`, { label: "From the left corner" })}
      ${fold(base, need, html`More<span class="unseen"> on ${name}</span>`, html`<div class="grid">
        ${lengthField(`${base}/height`, { label: "Height", placeholder: usual(80, 2030) })}
        ${lengthField(`${base}/casing`, { label: "Trim, each side", placeholder: "0" })}
        ${hung ? choiceField(`${base}/hinge`, { label: "Hinges, seen from inside", options: { left: "Left", right: "Right" } }) : nothing}
      </div>`)}
    </div>
    ${removeButton("/room/openings", index, name)}
  </div>`;
}

/** A default in the draft's units. */
export const usual = (inches, millimetres) =>
  state.draft.brief.units === "mm" ? String(millimetres) : String(inches);

function addOpening() {
  const { room } = state.draft.brief;
  add("/room/openings", {
    wall: room.walls[state.wall]?.id ?? room.walls[0].id, kind: "cased", start: "", width: "", height: "",
  }, "another door");
}

/** The section of obstructions. */
export const obstructionsSection = {
  id: "obstructions", title: "What is on the walls", places: ["/room/obstructions", "/room/keep_clear"],
  none: "Outlets, windows: nothing yet",
  told: ({ room }) => [
    room.obstructions.length ? counted(room.obstructions.length, "thing") : "",
    room.keep_clear.length ? counted(room.keep_clear.length, "box kept clear", "boxes kept clear") : "",
  ].filter(Boolean).join(", "),
  view: obstructionsForm,
};

function obstructionsForm() {
  const { obstructions } = state.draft.brief.room;
  return html`
    <p class="lead">Storage keeps clear of these. Note every outlet and switch: behind them run
      cables, and what an electrician put there should stay in reach.</p>
    ${sectionFaults("/room/obstructions")}
    ${obstructions.map(obstructionRow)}
    <div class="adds">
      ${["window", "outlet", "switch", "light"].map((kind, first) => html`<button type="button" class="plain"
        ?data-adds=${first === 0} @click=${() => addObstruction(kind)}>Add ${an(OBSTRUCTIONS[kind].title)}</button>`)}
      <button type="button" class="plain" @click=${() => addObstruction("other")}>Add something else</button>
    </div>
    ${keepClear()}`;
}

/** Boxes of the room that nothing may stand in. */
function keepClear() {
  const { keep_clear: boxes } = state.draft.brief.room;
  return html`<h3>Room to keep clear</h3>
    <p class="lead">Where nothing may stand at all, such as the working space before a water heater.</p>
    ${sectionFaults("/room/keep_clear")}
    ${boxes.map(keptRow)}
    <p><button type="button" class="plain" @click=${addKept}>Add a box to keep clear</button></p>`;
}

function keptRow(_box, index) {
  const base = `/room/keep_clear/${index}`;
  const name = `box kept clear ${index + 1}`;
  return html`<div class="row" role="group" aria-label=${name}>
    <div class="grid">
      ${textField(`${base}/why`, { label: "What for" })}
      ${choiceField(`${base}/wall`, { label: "Before", options: walls() })}
      ${lengthField(`${base}/start`, { label: "From the left corner" })}
      ${lengthField(`${base}/width`, { label: "Width" })}
      ${lengthField(`${base}/bottom`, { label: "Above the floor", placeholder: "0" })}
      ${lengthField(`${base}/height`, { label: "Height" })}
      ${lengthField(`${base}/depth`, { label: "Out from the wall" })}
    </div>
    ${removeButton("/room/keep_clear", index, name)}
  </div>`;
}

function addKept() {
  const { room, units } = state.draft.brief;
  const wall = room.walls[state.wall] ?? room.walls[0];
  const sizes = Object.fromEntries(
    Object.entries(KEPT_CLEAR).map(([name, inches]) => [name, sizeText(inches, units)]));
  add("/room/keep_clear", { wall: wall.id, why: "", start: "", bottom: "", ...sizes }, "a box to keep clear");
}

const an = (name) => `${/^[AEIOU]/.test(name) ? "an" : "a"} ${name.toLowerCase()}`;

function obstructionRow(thing, index) {
  const base = `/room/obstructions/${index}`;
  const name = `${OBSTRUCTIONS[thing.kind]?.title ?? "Thing"} ${index + 1}`;
  const kinds = Object.fromEntries(Object.entries(OBSTRUCTIONS).map(([key, one]) => [key, one.title]));
  return html`<div class="row" role="group" aria-label=${name}>
    <div class="grid">
      ${choiceField(`${base}/kind`, { label: "What", options: kinds })}
      ${choiceField(`${base}/wall`, { label: "On", options: walls() })}
      ${lengthField(`${base}/start`, { label: "From the left corner" })}
      ${lengthField(`${base}/width`, { label: "Width" })}
      ${lengthField(`${base}/bottom`, { label: "Above the floor" })}
      ${lengthField(`${base}/height`, { label: "Height" })}
      ${lengthField(`${base}/projection`, { label: "Stands out from the wall", placeholder: "0" })}
      ${thing.kind === "light" ? luminaire(base) : nothing}
      ${tickField(`${base}/may_cover`, { label: "Storage may stand in front of it" })}
    </div>
    ${removeButton("/room/obstructions", index, name)}
  </div>`;
}

const luminaire = (base) => html`
  ${lengthField(`${base}/setback`, { label: "Its near side, out from the wall", placeholder: "0" })}
  ${choiceField(`${base}/luminaire`, {
    label: "Kind of light",
    options: {
      surface_enclosed: "On the surface, closed",
      surface_fluorescent: "On the surface, fluorescent",
      recessed_enclosed: "Recessed, closed",
      recessed_fluorescent: "Recessed, fluorescent",
      open_lamp: "Bare bulb",
    },
  })}`;

function addObstruction(kind) {
  const { brief } = state.draft;
  const { units, room } = brief;
  const { title: _title, ...sizes } = OBSTRUCTIONS[kind];
  const wall = room.walls[state.wall] ?? room.walls[0];
  const texts = Object.fromEntries(
    Object.entries(sizes).map(([name, inches]) => [name, sizeText(inches, units)]));
  add("/room/obstructions", { wall: wall.id, kind, start: "", ...texts }, OBSTRUCTIONS[kind].title.toLowerCase());
}
