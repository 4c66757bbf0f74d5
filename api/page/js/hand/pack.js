// A pack of the layout in hand: the service builds it with every bay kept as it is.

import { html } from "../../vendor/lit-html/lit-html.js";
import { state } from "../store.js";
import { packAsDrawn } from "./around.js";

/** The button that takes it away; a layout that breaks a rule is built by nobody. */
export function handPack(passed) {
  return html`<p><button type="button" class="plain" id="hand-pack" ?disabled=${!passed || state.sending} @click=${packAsDrawn}>Take it
    away as a build pack</button></p>
    <p class="hint">${passed ? "Cut list, drawings and prices of exactly these bays." : "Once every rule is kept."}</p>`;
}
