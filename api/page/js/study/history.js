// Runs of one descent: where this study comes from and what was made of it.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { addressOf } from "../router.js";
import { counted } from "../form/section.js";
import { state } from "../store.js";
import { PRIORITIES } from "../stock.js";
import { capital, needName, points } from "./words.js";

/** The runs so far, oldest first. */
export function history(study) {
  const { family } = state;
  if (family.length < 2) return nothing;
  return html`<nav class="history" aria-label="Runs so far"><h2>Runs so far</h2>
    <ol>${family.map((one) => html`<li>
      <a href=${addressOf({ view: "study", study: one.id })} aria-current=${one.id === study.id ? "true" : nothing}>
        ${changeText(one)}</a>
      <small>${one.score === null ? capital(one.state) : `Best ${points(one.score)}`}</small></li>`)}</ol>
  </nav>`;
}

function changeText(one) {
  if (!one.parent) return "First run";
  const parts = [];
  const { priorities, needs, pins, mount_pins: mounts, construction, options, room, ...rest } = one.patch ?? {};
  const before = state.study.id === one.parent ? state.study.brief : null;
  if (priorities) parts.push(...weights(priorities, before));
  if (needs) parts.push(...Object.entries(needs).map(([name, value]) => `${capital(needName(name))}${told(value)}`));
  if (construction) parts.push(...Object.entries(construction).map(([name, value]) => `${capital(name.replaceAll("_", " "))}${told(value)}`));
  if (room) parts.push("Another room");
  if (pins || mounts) parts.push(kept(pins ?? [], mounts ?? []));
  if (options?.alternatives && !parts.length) parts.push(options.alternatives === 1 ? "One layout" : `${options.alternatives} layouts`);
  parts.push(...Object.keys(rest).map((name) => capital(name)));
  return parts.length ? parts.join("; ") : "Bays kept";
}

function kept(bays, mounts) {
  const told = [bays.length ? counted(bays.length, "bay") : "", ...mounts.map(({ mount }) => mount)].filter(Boolean);
  return told.length ? `${capital(told.join(" and "))} kept` : "Nothing kept";
}

/** Priorities that were changed; the ones that stayed are in the patch too. */
function weights(priorities, before) {
  const changed = Object.entries(priorities).filter(([name, value]) => !before || before.priorities[name] !== value);
  return changed.map(([name, value]) => `${PRIORITIES[name]?.[0] ?? capital(name)} ${value === 0 ? "left out" : value}`);
}

const told = (value) => (typeof value === "number" || typeof value === "string" ? ` ${value}` : " changed");
