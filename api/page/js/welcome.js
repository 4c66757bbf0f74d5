// First sight: what this is in one sentence, and three examples with what came of them.

import { html, nothing } from "../vendor/lit-html/lit-html.js";
import { startFrom } from "./files.js";
import { send } from "./propose-strip.js";
import { state } from "./store.js";

/** Examples shown: each a scenario of the service, and a picture of a layout proposed for it. */
const CARDS = [
  ["hall-reach-in", "Coats in the hall", "A reach-in of four feet with a hinged door"],
  ["bedroom-bifold", "Bedroom behind bifold doors", "Long and short hanging, and a hamper"],
  ["galley-walk-in", "Walk-in with two sides", "Two people, hanging on both sides"],
];

/** The welcome of a job that was begun empty; it stays while one types, so that nothing jumps. */
export function welcome() {
  if (!state.fresh) return nothing;
  const known = new Set(state.scenarios.map((one) => one.name));
  return html`<section class="welcome" aria-labelledby="welcome-title">
    <h1 id="welcome-title">Closet layouts you can build</h1>
    <p class="sentence">Say how long your walls are and what has to go in: you get several layouts, each checked and
      with a proof of how good it is, and the cut list, drawings and prices to build it.</p>
    <ul class="cards">${CARDS.map(([name, title, text]) => html`<li>
      <img src="/page/examples/${name}.svg" alt="${title}: a layout proposed for it, drawn from the front" width="320" height="240">
      <div><h2>${title}</h2><p>${text}.</p>
      <button type="button" class="plain" ?disabled=${state.sending || !known.has(name)} @click=${() => plan(name)}>Plan this
        one<span class="unseen">: ${title}</span></button></div></li>`)}</ul>
    <p class="hint">Not measured yet? <a href="/v1/survey.pdf">Print a survey sheet</a> to fill in on site
      (<a href="/v1/survey.pdf?units=mm">in millimetres</a>).</p>
  </section>`;
}

function plan(name) {
  startFrom(name);
  send();
}
