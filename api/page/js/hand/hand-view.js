// The sheet of a layout in one's own hands: the wall to work on, the verdict, what it comes to.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { live } from "../../vendor/lit-html/directives/live.js";
import { capital, sentence, wallTitle } from "../faults.js";
import { show as length } from "../lengths.js";
import { addressOf } from "../router.js";
import { state } from "../store.js";
import { toRedo, toUndo } from "../versions.js";
import { changed, proposeAround } from "./reruns.js";
import { comesTo } from "./figures.js";
import { carry, endChoices } from "./corners.js";
import {
  addBoard, addRod, changeKind, handLayout, moveItem, places, redoHand, removeBay, removePart, show, split, startAgain, take, undoHand,
} from "./editor.js";
import { handElevation } from "./elevation.js";
import { KINDS, kindOf } from "./kinds.js";
import { mountRows } from "./mounts.js";
import { handPack } from "./pack.js";
import { partsOf } from "./stack.js";
import { addSupport, removeSupport, stiffen } from "./supports.js";

/** The sheet. */
export function handView() {
  const { study, route } = state;
  if (state.missing) return html`<h1>There is no such study here</h1><p>${state.missing.message}</p>`;
  if (!study) return html`<p class="wait" role="status">Reading the study</p>`;
  if (state.hand?.study !== study.id || state.hand.rank !== route.hand) {
    queueMicrotask(() => take(study, route.hand));
    return html`<p class="wait" role="status">Laying it out</p>`;
  }
  const faults = state.hand.check?.findings ?? [];
  return html`<div class="handwork">
    <header class="head"><h1>${study.name}, layout ${route.hand} by hand</h1>
      <p class="links"><a href=${addressOf({ view: "study", study: study.id, compare: state.chosen })}>Back to the layouts</a></p></header>
    <div class="beside">
      <div class="main-part">
        <div class="paper">
          ${tools()} ${wallTabs(study)}
          <div class="scroll" role="region" tabindex="0" aria-label="The wall in hand">${handElevation(flagOf(faults))}</div>
          <p class="caption">Drag uprights, shelves, rods and things; or move to one with Tab and press the arrow keys (with Shift
            by more, Page Up and Down by a shelf's spacing, Delete to take away).</p>
        </div>
        ${verdict(faults)} ${next()}
      </div>
      <aside class="side-part" aria-label="The bay and the layout">${bayPanel()} ${thingsPanel()}</aside>
      ${comesTo()}
    </div></div>`;
}

/** How many of the faults lie in a place of the layout, numbered as in the list; 0 for none. */
const flagOf = (faults) => (base) => {
  const numbers = faults.flatMap((fault, index) => (fault.pointer === base || fault.pointer.startsWith(`${base}/`) ? [index + 1] : []));
  return numbers.length ? numbers.join(",") : "";
};

function tools() {
  const { versions } = state.hand;
  const button = (name, sign, what, run) => html`<button type="button" class="plain" ?disabled=${what === null}
    title=${what === null ? name : `${name}: ${what}`} @click=${run}><span aria-hidden="true">${sign}</span> ${name}</button>`;
  return html`<div class="adds" role="group" aria-label="Changes">
    ${button("Undo", "↶", toUndo(versions), undoHand)} ${button("Redo", "↷", toRedo(versions), redoHand)}
    <button type="button" class="plain" ?disabled=${!versions.past.length} @click=${startAgain}>As proposed</button></div>`;
}

function wallTabs(study) {
  const { walls } = study.brief.room;
  if (walls.length < 2) return nothing;
  return html`<div class="walls" role="group" aria-label="Wall to work on">${walls.map((wall) => html`
    <button type="button" aria-pressed=${wall.id === state.hand.wall ? "true" : "false"}
      @click=${() => show({ wall: wall.id, picked: handLayout().bays.find((bay) => bay.wall === wall.id)?.id ?? null })}>${wallTitle(wall.id)}</button>`)}</div>`;
}

function verdict(faults) {
  const { check } = state.hand;
  if (!check) return html`<p class="verdict" id="verdict">Checking</p>`;
  if (check.error) return html`<p class="verdict bad" id="verdict">Not checked: ${check.error}</p>`;
  if (check.passed) return html`<p class="verdict good" id="verdict">✓ It can be built so: every rule is kept.</p>`;
  return html`<section class="verdict bad" id="verdict"><h2>✗ ${faults.length === 1 ? "One thing breaks a rule" : `${faults.length} things break a rule`}</h2>
    <ol>${faults.map((fault) => html`<li><button type="button" class="plain" @click=${() => goTo(fault)}>${placeOf(fault.pointer)}</button>
      ${after(placeOf(fault.pointer), fault.detail)}</li>`)}</ol></section>`;
}

/** A sentence after the place that it is about, which it need not name again. */
const after = (place, detail) => (detail.toLowerCase().startsWith(`${place.toLowerCase()} `) ? `${detail.slice(place.length + 1)}.` : sentence(detail));

const bayAt = (pointer) => handLayout().bays[Number(/^\/bays\/([0-9]+)/.exec(pointer)?.[1] ?? -1)];
const mountAt = (pointer) => handLayout().mounts[Number(/^\/mounts\/([0-9]+)/.exec(pointer)?.[1] ?? -1)];

function placeOf(pointer) {
  const [bay, mount] = [bayAt(pointer), mountAt(pointer)];
  if (bay) return `Bay ${bay.id}`;
  return mount ? `${capital(mount.kind)} ${mount.id}` : "The layout";
}

function goTo({ pointer }) {
  const [bay, mount] = [bayAt(pointer), mountAt(pointer)];
  if (bay) show({ wall: bay.wall, picked: bay.id });
  if (mount) show({ wall: mount.wall });
}

function bayPanel() {
  const bay = handLayout().bays.find((one) => one.id === state.hand.picked);
  if (!bay) return nothing;
  const { units } = state.study.brief;
  const parts = partsOf(bay);
  const kind = kindOf(parts);
  return html`<section class="bay-panel" aria-labelledby="bay-title"><h2 id="bay-title">Bay ${bay.id}</h2>
    <p>${length(bay.width, units)} wide, ${length(bay.start, units)} from the left end of ${wallTitle(bay.wall)}.</p>
    <div class="field"><label for="bay-kind">Kind</label>
      <select id="bay-kind" .value=${live(kind)} @change=${(event) => changeKind(bay.id, event.target.value)}>
        ${kind === "" ? html`<option value="" selected>Your own</option>` : nothing}
        ${Object.entries(KINDS).map(([key, [name]]) => html`<option value=${key} ?selected=${key === kind}>${name}</option>`)}
      </select></div>
    ${endField(bay, "left")} ${endField(bay, "right")}
    <p class="adding">Add</p>
    <div class="adds">
      ${adder("a shelf", () => addBoard(bay.id))}
      ${["long", "medium", "short"].map((hang) => adder(`a ${hang} rod`, () => addRod(bay.id, hang)))}
      ${adder("a mid support", () => addSupport(bay.id))} ${adder("an upright", () => split(bay.id))}
    </div>
    <div class="adds">
      <button type="button" class="plain" aria-pressed=${bay.stiffened ? "true" : "false"} @click=${() => stiffen(bay.id)}>Stiffened boards</button>
      <button type="button" class="plain" @click=${() => removeBay(bay.id)}>Take the bay away</button>
    </div>
    <ul class="parts">
      ${parts.boards.map((one, index) => html`<li>Shelf at ${length(one.at, units)}
        <button type="button" class="plain" @click=${() => removePart(bay.id, "boards", index)}>Take away<span class="unseen"> shelf ${index + 1}</span></button></li>`)}
      ${parts.rods.map((one, index) => html`<li>Rod at ${length(one.at, units)}, ${one.hang} hang
        <button type="button" class="plain" @click=${() => removePart(bay.id, "rods", index)}>Take away<span class="unseen"> rod ${index + 1}</span></button></li>`)}
      ${(bay.mid_supports ?? []).map((place) => html`<li>Mid support at ${length(place, units)}
        <button type="button" class="plain" @click=${() => removeSupport(bay.id, place)}>Take away<span class="unseen"> mid support</span></button></li>`)}
    </ul></section>`;
}

const adder = (what, run) => html`<button type="button" class="plain" @click=${run}><span class="unseen">Add </span>${what}</button>`;

/** What carries an end of a bay, where there is a choice. */
function endField(bay, side) {
  const choices = Object.entries(endChoices(bay, side));
  if (choices.length < 2) return nothing;
  return html`<div class="field"><label for="end-${side}">Its ${side} end stands on</label>
    <select id="end-${side}" .value=${live(bay[side])} @change=${(event) => carry(bay, side, event.target.value)}>
      ${choices.map(([key, name]) => html`<option value=${key} ?selected=${key === bay[side]}>${name}</option>`)}</select></div>`;
}

/** Every bulky thing of the brief, and where it stands. */
function thingsPanel() {
  const { items } = state.study.brief.needs;
  const mounted = mountRows();
  if (!items.length && !mounted.length) return nothing;
  const spots = places();
  const standing = handLayout().bays.flatMap((bay) => bay.zones.flatMap((zone) =>
    zone.items.map((item) => ({ item, bay: bay.id, at: zone.kind === "floor" ? undefined : zone.bottom }))));
  const rows = items.flatMap((one) => {
    const there = standing.filter((spot) => spot.item === one.id);
    return Array.from({ length: one.count ?? 1 }, (_, index) => ({ item: one.id, at: there[index] ?? null }));
  });
  return html`<section class="things" aria-labelledby="things-title"><h2 id="things-title">Things</h2>
    ${rows.map(({ item, at }, row) => {
      const from = at ? spots.find((spot) => spot.bay === at.bay && spot.at === at.at) : null;
      return html`<div class="field"><label for="thing-${row}">${capital(item)}</label>
        <select id="thing-${row}" @change=${(event) => moveItem(item, from, spots[event.target.value] ?? null)}>
          <option value="" ?selected=${!from}>Left out</option>
          ${spots.map((spot, index) => html`<option value=${index} ?selected=${spot === from}>${spot.name}</option>`)}
        </select></div>`;
    })} ${mounted}</section>`;
}

/** What was changed, as the subject of a sentence. */
function changedWords(bays, mounts) {
  const hung = mounts.map(({ kind, id }) => `the ${kind} ${id}`);
  if (!bays.length) return capital(`${hung.join(" and ")} where you hung ${mounts.some((one) => one.kind === "hooks") || mounts.length > 1 ? "them" : "it"}`);
  const own = bays.length === 1 ? "The bay you changed" : `The ${bays.length} bays you changed`;
  return [own, ...hung].join(" and ");
}

function next() {
  const { bays, mounts } = changed();
  const count = bays.length + mounts.length;
  const passed = state.hand.check?.passed === true;
  return html`<section class="next"><h2>And then</h2>
    <p><button type="button" class="main" id="around" ?disabled=${!count || state.sending} @click=${proposeAround}>Propose the rest around
      what I did</button></p>
    <p class="hint">${count ? `${changedWords(bays, mounts)} stay${count === 1 ? "s" : ""} exactly; the rest is searched anew.` : "Change something first."}</p>
    ${handPack(passed)}</section>`;
}
