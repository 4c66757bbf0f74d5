// Words for what the service calls by short names.

import { capital, sentence, wallTitle } from "../faults.js";
import { show } from "../lengths.js";

export const METRICS = {
  long_hang: "Long hang",
  medium_hang: "Medium hang",
  short_hang: "Short hang",
  shelf_length: "Shelf length",
  shelf_area: "Shelf area",
  open_floor: "Open floor",
  easy_length: "Within easy reach",
  items_housed: "Bulky things housed",
  material_cost: "Material cost",
  sheets: "Sheets",
  parts: "Parts to cut",
};

const NEED = { long_hang: "long hang", medium_hang: "medium hang", short_hang: "short hang", shelf_length: "shelf" };

/** A figure with its unit as the service names it. */
export function figure(value, unit) {
  if (value === null || value === undefined) return "not known";
  if (unit === "in" || unit === "mm") return show(value, unit);
  if (unit === "in2") return `${(value / 144).toFixed(1)} sq ft`;
  if (unit === "mm2") return `${(value / 1e6).toFixed(2)} m²`;
  if (unit === "currency") return value.toFixed(2);
  return String(Math.round(value * 10) / 10);
}

/** A need by name. */
export const needName = (need) => NEED[need] ?? need.replace(/^(items?|stored|mounted):/, "").replaceAll("_", " ");

/** An unmet need in a sentence. */
export function unmetText(unmet, units) {
  const isItem = /^(items?|stored|mounted):/.test(unmet.need);
  const short = isItem && unmet.required === 1 ? "left out" : isItem ? `${unmet.shortfall} of ${unmet.required} left out` : `${show(unmet.shortfall, units)} short of ${show(unmet.required, units)}`;
  return `${capital(needName(unmet.need))}: ${short}`;
}

export const REASONS = {
  impossible: "cannot be met in this room",
  traded_off: "given up for something worth more",
  unknown: "not known whether it can be met",
};

export { capital, sentence };

/** Score as shown. */
export const points = (value) => (value ?? 0).toFixed(1);

/** A bound in points, rounded up: what is said is within what is proved. */
export const atMost = (bound) => points(Math.ceil(10 * Math.max(0, bound) - 1e-6) / 10);

/** A share that is a bound, rounded up likewise. */
export const atMostShare = (share) => `${Math.ceil(100 * share - 1e-6)} %`;

const percent = (share) => `${Number((100 * share).toFixed(2))} %`;

/** What is proved of a layout, in words: of the first among all, of a later one among those that differ. */
export function certainty(layout, study) {
  if (layout.status === "rescored") return `Ranked anew: a search could find at most ${atMost(layout.bound)}`;
  if (layout.status === "provisional") return provisionally(layout);
  const others = layout.rank === 1 ? "no other layout" : `none of the layouts ${apart(study)} from those above`;
  const more = layout.bound - layout.score < 1e-6 ? "more" : `more than ${atMost(layout.bound)}`;
  return `Proved: ${others} scores ${more}`;
}

/** What is known of a layout that the search may still better. */
function provisionally({ bound }) {
  const most = bound < 100 ? `At most ${atMost(bound)} is possible` : "Nothing is proved yet";
  return `${most}: the search goes on, and a better layout takes this one's place`;
}

/** By how much a later layout differs from those above it. */
const apart = ({ difference_proved: proved, difference_asked: asked }) => {
  const least = proved ?? asked;
  return least ? `that differ by ${atMostShare(least)} or more` : "that differ enough";
};

/** How a study ended, in words. */
export function endingOf({ status, brief, layouts }) {
  const one = layouts.length === 1;
  if (status !== "within_gap") return ENDINGS[status]?.(one) ?? status;
  const near = `best to within ${percent(brief.options.gap)} of its score`;
  return one ? `Proved ${near}.`
    : `The first is proved ${near}; each later one, as far again, among those that differ enough from the ones above it.`;
}

const ENDINGS = {
  optimal: (one) => (one ? "Proved best within the rules."
    : "The first is proved best within the rules; each later one, among those that differ enough from the ones above it."),
  time_limit: (one) => `The time ran out: ${one ? "this is" : "these are"} the best found.`,
  cancelled: (one) => `Stopped by you: ${one ? "this is" : "these are"} the best found until then.`,
  infeasible: () => "Nothing can be built in this room as asked.",
  error: () => "The search failed.",
};

/** How a layout stands: heights of its top boards, its strongest loaded part, what may be off. */
export function standing(layout, units) {
  return [lineText(layout, units), loadText(layout), marginText(layout, units)].filter(Boolean);
}

function lineText({ lines = {} }, units) {
  const heights = Object.entries(lines);
  const shown = new Set(heights.map(([, height]) => show(height, units)));
  if (!heights.length) return "";
  if (shown.size === 1 && heights.length > 1) return `Top board at ${[...shown][0]} all round`;
  return `Top board at ${heights.map(([wall, height]) => `${show(height, units)} on ${wallTitle(wall)}`).join(", ")}`;
}

// Rounded up: never told to be less than it is.
const loadText = ({ structure }) =>
  (structure ? `Strongest loaded: ${structure.of}, ${Math.ceil(structure.share * 100 - 1e-9)}% of its limit` : "");

function marginText({ margins = {} }, units) {
  const told = Object.entries(margins).map(([wall, margin]) => `${wallTitle(wall)} ${show(margin, units)}`);
  return told.length ? `Still goes in where a wall is shorter by: ${told.join(", ")}` : "";
}
