// The layout in hand taken away: its files at once, or its pack as a sheet of this page.

import { html } from "../../vendor/lit-html/lit-html.js";
import { fileName } from "../files.js";
import { download } from "../service.js";
import { announce, notify, set, state } from "../store.js";
import { later } from "../current-study.js";
import { packAsDrawn } from "./reruns.js";
import { sent } from "./layout-check.js";
import { handLayout } from "./editor.js";

async function take() {
  const { hand, study } = state;
  set({ sending: true, notice: null });
  announce("The pack is being made. This takes a few seconds.");
  try {
    const body = { study: hand.study, against: hand.rank, layout: sent(handLayout()) };
    await download("/v1/layout-packs", `${fileName(study.name)}-by-hand.zip`, body);
  } catch (error) {
    notify(`No pack was made. ${later(error)}`);
  } finally {
    set({ sending: false });
  }
}

/** The buttons that take it away; a layout that breaks a rule is built by nobody. */
export function handPack(passed) {
  return html`<p class="adds">
      <button type="button" class="plain" id="hand-files" ?disabled=${!passed || state.sending} @click=${take}>Take its build pack (ZIP)</button>
      <button type="button" class="plain" id="hand-pack" ?disabled=${!passed || state.sending} @click=${packAsDrawn}>Open its build pack</button></p>
    <p class="hint">${passed ? "Cut list, drawings and prices of exactly this layout." : "Once every rule is kept."}</p>`;
}
