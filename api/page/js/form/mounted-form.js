// Hooks and mirrors: pieces of wall that are kept for them.

import { html } from "../../vendor/lit-html/lit-html.js";
import { sizeText } from "../draft.js";
import { add } from "../draft-changes.js";
import { lengthField, numberField, removeButton, sectionFaults, textField } from "../fields.js";
import { state } from "../store.js";
import { MIRROR } from "../stock.js";
import { freeName } from "./names.js";
import { usual } from "./things-form.js";

/** Rows of hooks and mirrors, within the fieldset of bulky things. */
export function mountedForm() {
  const { needs } = state.draft.brief;
  return html`<h3>Hooks and mirrors</h3>
    <p class="lead">A piece of wall is kept for each, with nothing in front.</p>
    ${sectionFaults("/needs/hooks")} ${sectionFaults("/needs/mirrors")}
    ${(needs.hooks ?? []).map(hooksRow)} ${(needs.mirrors ?? []).map(mirrorRow)}
    <div class="adds">
      <button type="button" class="plain" @click=${addHooks}>Add a row of hooks</button>
      <button type="button" class="plain" @click=${addMirror}>Add a mirror</button>
    </div>`;
}

function hooksRow(line, index) {
  const base = `/needs/hooks/${index}`;
  return html`<div class="row" role="group" aria-label=${line.id || "hooks"}>
    <div class="grid">
      ${textField(`${base}/id`, { label: "Name" })}
      ${numberField(`${base}/count`, { label: "How many hooks" })}
      ${lengthField(`${base}/spacing`, { label: "From hook to hook", placeholder: usual(8, 200) })}
      ${lengthField(`${base}/height`, { label: "Above the floor", placeholder: usual(60, 1500) })}
      ${lengthField(`${base}/depth`, { label: "What hangs stands out", placeholder: usual(10, 250) })}
    </div>
    ${removeButton("/needs/hooks", index, line.id)}
  </div>`;
}

function mirrorRow(line, index) {
  const base = `/needs/mirrors/${index}`;
  return html`<div class="row" role="group" aria-label=${line.id || "mirror"}>
    <div class="grid">
      ${textField(`${base}/id`, { label: "Name" })}
      ${lengthField(`${base}/width`, { label: "Width" })}
      ${lengthField(`${base}/height`, { label: "Height" })}
      ${lengthField(`${base}/bottom`, { label: "Bottom above the floor", placeholder: usual(14, 350) })}
    </div>
    ${removeButton("/needs/mirrors", index, line.id)}
  </div>`;
}

const all = (needs) => [...(needs.hooks ?? []), ...(needs.mirrors ?? [])];

function addHooks() {
  const { needs } = state.draft.brief;
  add("/needs/hooks", { id: freeName("coats", all(needs)), count: "4" }, "a row of hooks");
}

function addMirror() {
  const { needs, units } = state.draft.brief;
  const size = { width: sizeText(MIRROR.width, units), height: sizeText(MIRROR.height, units) };
  add("/needs/mirrors", { id: freeName("mirror", all(needs)), ...size }, "a mirror");
}
