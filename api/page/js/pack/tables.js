// The build pack's tables. Figures are the service's own; here they are only set out.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { inchText } from "../lengths.js";
import { capital, sentence } from "../study/words.js";

const size = (pack) => (value) => (value === null ? "" : pack.units === "mm" ? String(Math.round(value * 10) / 10) : inchText(value, 32));
const words = (name) => name.replaceAll("_", " ").replace(/\bmdf\b/g, "MDF");
const amount = (value) => value.toFixed(2);

/** Money with its currency, where the price book names one. */
export const money = (value, currency) => [currency, amount(value)].filter(Boolean).join("\u00a0");

const LONG = 40;
const classOf = (cell) => (FIGURE.test(cell) ? "tight" : String(cell).length > LONG ? "long" : "");
const FIGURE = /^-?[\d./" -]+( [a-z/]+)?$/;

function table(caption, heads, rows) {
  return html`<div class="scroll" role="region" aria-label=${caption} tabindex="0"><table>
    <caption>${caption}</caption>
    <thead><tr>${heads.map((head) => html`<th scope="col">${head}</th>`)}</tr></thead>
    <tbody>${rows.map((cells) => html`<tr>${cells.map((cell, index) => index === 0
      ? html`<th scope="row">${capital(words(String(cell)))}</th>` : html`<td class=${classOf(cell)}>${cell}</td>`)}</tr>`)}</tbody>
  </table></div>`;
}

/** The cut list, in cutting order. */
export function cutList(pack) {
  const say = size(pack);
  const unit = pack.units === "mm" ? "millimetres" : "inches";
  return table(
    `Parts to cut, sizes in ${unit}, in cutting order`,
    ["Part", "Pieces", "Length", "Width", "Thick", "From", "Ids", "Note"],
    pack.cut_list.map((row) => [
      row.name, row.count, say(row.length), row.stock === "rod" ? "" : say(row.width), say(row.thickness),
      stockOf(row), row.parts.join(", "), row.note]));
}

const stockOf = ({ material, stock }) =>
  (material.endsWith(stock) ? words(material) : `${words(material)} ${stock}`);

const proof = (result, one, many) => {
  const count = `${result.bought} ${result.bought === 1 ? one : many}`;
  const covers = result.covers ? ` ${result.covers}` : "";
  if (result.bought === result.lower_bound) return `${count}, proved the fewest${covers}`;
  return result.proved ? `${count}, proved the least cost${covers}` : `${count}, proved at least ${result.lower_bound}${covers}`;
};

/** How many sheets, strips and rods, and what is proved of that. */
export function sheetsTold({ sheets, strips, rods }) {
  return html`<ul>
    ${sheets ? html`<li>Boards: ${proof(sheets, "sheet", "sheets")}.</li>` : nothing}
    ${strips ? html`<li>Strips: ${proof(strips, "length", "lengths")}.</li>` : nothing}
    ${rods ? html`<li>Rods: ${proof(rods, "length", "lengths")}.</li>` : nothing}</ul>`;
}

/** Hardware, and what the finish takes. */
export function hardware(pack) {
  return html`
    ${table("Hardware", ["What", "Pieces", "For"], pack.hardware.map((one) => [one.name, one.count, one.used_for]))}
    ${pack.finish.length ? table("Finish", ["What", "Coats", "Area", "Amount"], pack.finish.map((one) => [
      one.name, one.coats, `${one.area.toFixed(1)} ${one.area_unit}`, `${one.amount.toFixed(2)} ${one.unit}`])) : nothing}`;
}

/** What to mark on each wall, in the order of work. */
export function markout(pack) {
  const say = size(pack);
  return html`<p>Draw a level line ${say(pack.datum)} above the highest point of the floor; heights are above the
    floor there.</p>
    ${table("Marks, in the order of work", ["Mark", "Wall", "Part", "Height", "From level line", "From", "To", "Fasten"],
      pack.markout.map((line) => [
        line.kind, line.wall, line.part, say(line.height), say(line.from_datum), say(line.start), say(line.end),
        [line.fasteners ? `${line.fasteners} × ${line.fastener}` : "", capital(line.note)].filter(Boolean).join(". ")]))}`;
}

const VERDICT = { pass: "✓ holds", warn: "! look at it", fail: "✗ too weak" };

const TIGHTEST = 12;

/** Structural checks, the tightest first. */
export function checks(pack) {
  const rows = [...pack.checks].sort((a, b) => b.demand / (b.limit || 1) - a.demand / (a.limit || 1));
  const sources = [...new Set(rows.map((one) => one.source))];
  const mending = rows.some((one) => one.mends.length);
  const set = (caption, some) => table(caption,
    ["Part", "Check", "Verdict", "Demand", "Limit", "Source", ...(mending ? ["What would mend it"] : [])],
    some.map((one) => [
      one.part, capital(one.check), VERDICT[one.status], `${round(one.demand)} ${one.unit}`, `${round(one.limit)} ${one.unit}`,
      sources.indexOf(one.source) + 1, ...(mending ? [capital(one.mends.join("; "))] : [])]));
  return html`<p>Worked from published formulas and typical boards; real boards differ.</p>
    ${set("Checks, the tightest first", rows.slice(0, TIGHTEST))}
    ${rows.length > TIGHTEST ? html`<details class="more"><summary>The other ${rows.length - TIGHTEST} checks</summary>
      ${set("Further checks", rows.slice(TIGHTEST))}</details>` : nothing}
    <h3>Sources of the checks</h3>
    <ol class="small-print">${sources.map((source) => html`<li>${sentence(source)}</li>`)}</ol>`;
}

const round = (value) => String(Number(value.toPrecision(3)));

/** A unit as it stands behind a number: its first word in the plural, where there are several. */
const several = (count, unit) => (count === 1 ? unit : unit.replace(/^[a-z]+/, (word) => (/(s|x|ch|sh)$/.test(word) ? `${word}es` : `${word}s`)));

/** The shopping list, the hours and the quote. */
export function costs(pack) {
  const { quote } = pack;
  const say = (value) => money(value, quote.currency);
  const share = (rate) => `${round(100 * rate)} %`;
  return html`
    ${table("Shopping list", ["What", "Buy", "Each", "Amount", "Note"], pack.shopping.map((line) => [
      line.description, `${line.quantity} ${several(line.quantity, line.unit)}`, say(line.unit_price), say(line.amount), line.note]))}
    ${table("Hours", ["Task", "Hours", "Rests on"], pack.hours.map((one) => [one.task, one.hours.toFixed(1), capital(one.basis).replaceAll(" x ", " × ")]))}
    ${table("Quote", ["What", "Amount"], [
      ["Materials", say(quote.materials)],
      [`Labour, ${quote.hours.toFixed(1)} h at ${say(quote.labour_rate)}`, say(quote.labour)],
      [`Margin, ${share(quote.margin_rate)}`, say(quote.margin)],
      [`Tax, ${share(quote.tax_rate)}`, say(quote.tax)],
      ["Total", say(quote.total)]])}
    <p>Whole thing ${round(pack.weights.total)} ${pack.weights.unit}; heaviest part ${pack.weights.heaviest_part} at
      ${round(pack.weights.heaviest)} ${pack.weights.unit}; a full sheet ${round(pack.weights.sheet)} ${pack.weights.unit}.${madeUp(pack) ? " Prices of materials are made-up ones until you put in your own." : ""}</p>`;
}

/** Whether prices are those that the program comes with, which are nobody's. */
export const madeUp = ({ notes }) => notes.some((note) => /^invented prices/i.test(note));
