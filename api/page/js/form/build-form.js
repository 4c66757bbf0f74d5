// How it is built, and what counts.

import { html } from "../../vendor/lit-html/lit-html.js";
import { live } from "../../vendor/lit-html/directives/live.js";
import { choiceField, lengthField, numberField, put, sectionFaults } from "../fields.js";
import { state } from "../store.js";
import { FIRST_WEIGHTS, MATERIALS, MID_SUPPORTS, PRIORITIES, TOP_LINES, WALL_ENDS } from "../stock.js";
import { fold } from "../fields.js";
import { usual } from "./things-form.js";

const SIZES = [
  ["panel_thickness", "Board thickness", 0.75, 18],
  ["hang_depth", "Depth of a hanging bay", 24, 600],
  ["kerf", "Saw kerf", 0.125, 3],
  ["max_bay_width", "Widest bay", 96, 2440],
  ["min_bay_width", "Narrowest bay", 12, 300],
  ["min_hang_width", "Narrowest bay with a rod", 18, 450],
  ["max_plain_span", "Longest board without support", 36, 900],
  ["unbacked_span", "Longest piece of shelf without a back cleat", 30, 750],
  ["rod_support_spacing", "Longest rod without support", 48, 1200],
  ["max_rod_height", "Highest rod", 84, 2130],
  ["max_shelf_height", "Highest shelf", 84, 2130],
  ["baseboard_height", "Baseboard height", 0, 0],
  ["baseboard_thickness", "Baseboard thickness", 0, 0],
  ["carpet_thickness", "Carpet under the uprights", 0, 0],
];

/** The section of construction. */
export const buildSection = {
  id: "build", title: "How it is built", places: ["/construction"], none: "The usual way",
  told: ({ construction }) => (Object.values(construction ?? {}).some((value) => value !== "") ? "Your own choices" : ""),
  view: buildForm,
};

function buildForm() {
  return html`
    <p class="lead">Left blank, common sizes are used. The grey figure is what that is.</p>
    ${sectionFaults("/construction")}
    <div class="grid">
      ${choiceField("/construction/material", { label: "Boards", options: MATERIALS, empty: "MDF (usual)" })}
      ${choiceField("/construction/rod_stock", { label: "Rods", options: { steel_tube: "Steel tube", wood_dowel: "Wood" }, empty: "Steel tube (usual)" })}
      ${CHOICES.map(choice)}
      ${SIZES.slice(0, 3).map(size)}
    </div>
    ${fold("sizes", false, "More sizes", html`<div class="grid">${SIZES.slice(3).map(size)}
        ${numberField("/construction/creep_factor", { label: "Lasting over first sag", placeholder: "by material" })}
      </div>`)}`;
}

/** Each choice: its field, its label, its values with their names; the first is the usual one. */
const CHOICES = [
  ["top_line", "Top boards", TOP_LINES],
  ["wall_ends", "Ends of bays at a wall", WALL_ENDS],
  ["mid_support", "Supports between the ends", MID_SUPPORTS],
];

const choice = ([name, label, options]) =>
  choiceField(`/construction/${name}`, { label, options, empty: `${Object.values(options)[0]} (usual)` });

const size = ([name, label, inches, millimetres]) =>
  lengthField(`/construction/${name}`, { label, placeholder: usual(inches, millimetres) });

/** The section of priorities. */
export const mattersSection = {
  id: "matters", title: "What counts, how long to look", places: ["/priorities", "/options"], none: "The usual weights",
  told: ({ priorities }) =>
    (Object.entries(FIRST_WEIGHTS).some(([name, weight]) => Number(priorities[name]) !== weight) ? "Your own weights" : ""),
  view: mattersForm,
};

function mattersForm() {
  return html`
    <p class="lead">What you asked for above comes first. These say what the rest of the room is
      best used for: 0 leaves a point out.</p>
    ${sectionFaults("/priorities")}
    <div class="sliders">
      ${Object.entries(PRIORITIES).map(([name, [label, text]]) => slider({
        id: `brief-${name}`, label, text, value: Number(state.draft.brief.priorities[name] ?? 0),
        onInput: (value) => put(`/priorities/${name}`, value),
      }))}
    </div>
    <div class="grid">
      ${numberField("/options/alternatives", { label: "Layouts wanted", hint: atMost("max_alternatives") })}
      ${numberField("/options/time_limit_s", { label: "Longest search, seconds", hint: atMost("max_time_limit_s") })}
    </div>`;
}

const atMost = (name) => (state.limits ? `At most ${state.limits[name]}` : undefined);

/** A priority's slider. */
export function slider({ id, label, text, value, onInput, onRelease = () => {} }) {
  return html`<div class="slider">
    <label for=${id}>${label}</label>
    <input type="range" id=${id} min="0" max="10" step="1" .value=${live(String(Math.min(10, value)))}
      aria-describedby="${id}-text" aria-valuetext=${value === 0 ? "left out" : String(value)}
      @input=${(event) => onInput(Number(event.target.value))}
      @change=${(event) => onRelease(Number(event.target.value))}>
    <output for=${id}>${value === 0 ? "off" : Number(value.toFixed(1))}</output>
    <small id="${id}-text">${text}</small>
  </div>`;
}
