// Runs of one descent: where this study comes from and what was made of it.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { addressOf } from "../router.js";
import { state } from "../store.js";
import { PRIORITIES } from "../stock.js";
import { needName, points } from "./words.js";

/** The runs so far, oldest first. */
export function history(study) {
  const { family } = state;
  if (family.length < 2) return nothing;
  return html`<nav class="history" aria-label="Runs so far"><h2>Runs so far</h2>
    <ol>${family.map((one) => html`<li>
      <a href=${addressOf({ view: "study", study: one.id })} aria-current=${one.id === study.id ? "true" : nothing}>
        ${changeText(one)}</a>
      <small>${one.score === null ? one.state : `best ${points(one.score)}`}</small></li>`)}</ol>
  </nav>`;
}

function changeText(one) {
  if (!one.parent) return "First run";
  const parts = [];
  const { priorities, needs, pins, ...rest } = one.patch ?? {};
  if (priorities) {
    parts.push(`counts: ${Object.entries(priorities).map(([name, value]) => `${PRIORITIES[name]?.[0].toLowerCase() ?? name} ${value}`).join(", ")}`);
  }
  if (needs) parts.push(`asks: ${Object.entries(needs).map(([name, value]) => `${needName(name)}${typeof value === "number" ? ` ${value}` : ""}`).join(", ")}`);
  if (pins) parts.push("other bays kept");
  parts.push(...Object.keys(rest));
  return parts.length ? `With ${parts.join("; ")}` : "With bays kept";
}
