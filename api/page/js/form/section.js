// Sections of the form: each has a name, says how far it is, and folds only when told to.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { keepFold } from "../fields.js";
import { within } from "../pointers.js";
import { state } from "../store.js";

/**
 * A section is {id, title, places, told, view, first}: the pointers of the brief that it fills,
 * what it holds in a few words (or "" for nothing), its form, and whether it is open at first.
 */
export function sectionView(section, number, room) {
  const open = isOpen(section);
  const { faults, text } = standing(section);
  return html`<details class="part" id="part-${section.id}" ?open=${open}
      @toggle=${(event) => { if (event.target.classList.contains("part")) keepFold(section.id, event.target.open); }}>
    <summary><h2><span class="num">${number}</span> ${section.title}</h2>
      <span class="told ${faults ? "todo" : ""}">${text}</span></summary>
    <div class="inner">${open ? section.view(room) : nothing}</div>
  </details>`;
}

/** Whether a section is open: as the person left it, else where there is something in it. */
export function isOpen(section) {
  const shown = state.showAll && faultsOf(section).length > 0;
  return state.unfolded.get(section.id) ?? (section.first || shown || section.told(state.draft.brief) !== "");
}

const faultsOf = ({ places }) =>
  state.check.errors.filter((fault) => places.some((place) => within(fault.pointer, place)));

/** How far a section is: faults in it, and that in words with a tick or without. */
export function standing(section) {
  const faults = faultsOf(section).length;
  const held = section.told(state.draft.brief);
  if (faults) return { faults, done: false, text: `${faults} to fill in or put right` };
  return { faults, done: held !== "", text: held === "" ? section.none ?? "Nothing yet" : `✓ ${held}` };
}

/** So many things in words: one shelf, 3 shelves. */
export const counted = (count, one, many = `${one}s`) => `${count} ${count === 1 ? one : many}`;
