// Any drawing as large as the window, in a dialog of its own.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { picture } from "./drawings.js";
import { set, state } from "./store.js";

/** Show a drawing of a layout large. */
export function enlarge(item, layout) {
  set({ large: { item, layout } });
  requestAnimationFrame(() => document.getElementById("enlarged")?.showModal());
}

const close = () => set({ large: null });

/** The dialog, where a drawing is shown large. */
export function enlarged() {
  const { large } = state;
  if (!large?.item) return nothing;
  return html`<dialog id="enlarged" class="enlarged" aria-label="Drawing, large" @close=${close}>
    <p class="adds"><button type="button" class="plain" autofocus @click=${(event) => event.target.closest("dialog").close()}>Close</button></p>
    <div class="scroll" role="region" tabindex="0" aria-label="The drawing">${picture(large.layout, large.item, null, true)}</div>
  </dialog>`;
}
