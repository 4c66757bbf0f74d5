// Lengths as people say them: read, written and turned from one system into the other.

export const MM_PER_INCH = 25.4;

/** What a message offers to write instead. */
const EXAMPLES = "86.5, 86 1/2, 7' 2-1/2\", 6 ft 3 or 2180 mm";

const PARTS = {
  "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
};
const LOOKALIKES = [
  [/[’‘ʼʹ′`´]/g, "'"], [/[”“„ʺ″]/g, '"'], [/[⁄∕]/g, "/"], [/[‐‑‒–—−]/g, "-"],
  [/[\t\n\r\u00a0\u2002\u2003\u2007\u2009\u200a\u202f]/g, " "],
  [/[½⅓⅔¼¾⅛⅜⅝⅞]/g, (sign) => ` ${PARTS[sign]} `], [/ +/g, " "], [/''/g, '"'], [/^ | $/g, ""],
];

const NUMBER = "[0-9.,]*[0-9][0-9.,]*";
const FRACTION = "[0-9]+ ?/ ?[0-9]+";
const MIXED = `(?:[0-9]+(?: ?- ?| )${FRACTION}|${FRACTION}|${NUMBER})`;
const INCH_MARK = `(?:"|in\\.?|inch|inches)`;
const FEET_MARK = `(?:'|ft\\.?|feet|foot)`;
const IN_MM = { mm: 1, cm: 10, m: 1000, millimetre: 1, millimeter: 1, centimetre: 10, centimeter: 10, metre: 1000, meter: 1000 };
const whole = (pattern) => new RegExp(`^(?:${pattern})$`, "i");
const FEET = whole(`(${MIXED}) ?${FEET_MARK}`);
const FEET_INCHES = whole(`([0-9]+) ?${FEET_MARK},? ?-? ?(${MIXED}) ?${INCH_MARK}?`);
const DASHED = whole(`([0-9]+) ?- ?([0-9]+)((?: ?- ?| )${FRACTION})?"?`);
const INCHES = whole(`(${MIXED}) ?${INCH_MARK}`);
const METRIC = whole(`(${NUMBER}) ?(${Object.keys(IN_MM).join("|")})s?`);
const PLAIN = whole(MIXED);

const POINT = /^(?:[0-9]+\.?[0-9]*|\.[0-9]+)$/;
const COMMA = /^[0-9]*,[0-9]+$/;
const EITHER = /^[1-9][0-9]{0,2},[0-9]{3}$/;
const GROUPED = /^[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]*)?$/;
const GROUPED_BY_POINTS = /^[1-9][0-9]{0,2}(?:\.[0-9]{3})+,[0-9]+$/;

/** What a text says is no length, or more than one; `why` follows the text in a message. */
class NotOneLength extends Error {}

/** Plain quotes, dashes, fractions and single spaces. */
const tidied = (text) => LOOKALIKES.reduce((told, [from, to]) => told.replace(from, to), String(text));

function number(text) {
  if (POINT.test(text)) return Number(text);
  if (EITHER.test(text)) {
    const [decimal, grouped] = [text.replace(",", "."), text.replace(",", "")];
    throw new NotOneLength(`may mean ${Number(decimal)} or ${grouped}: write ${decimal} or ${grouped}`);
  }
  if (COMMA.test(text)) return Number(text.replace(",", "."));
  if (GROUPED.test(text)) return Number(text.replaceAll(",", ""));
  if (GROUPED_BY_POINTS.test(text)) return Number(text.replaceAll(".", "").replace(",", "."));
  throw new NotOneLength(`is not a length; write ${EXAMPLES}`);
}

function part(text) {
  const [over, under] = text.split("/").map(Number);
  if (under === 0) throw new NotOneLength("has a fraction over 0");
  return over / under;
}

/** Value of '86.5', '1/2', '86 1/2' or '86-1/2'. */
const amount = (text) => text.replace(/ ?\/ ?/g, "/").replaceAll("-", " ").split(" ").filter(Boolean)
  .reduce((sum, piece) => sum + (piece.includes("/") ? part(piece) : number(piece)), 0);

/** The length in inches that a text says in feet or inches, or null. */
function inchesOf(text) {
  let match = INCHES.exec(text);
  if (match) return amount(match[1]);
  match = FEET.exec(text);
  if (match) return amount(match[1]) * 12;
  match = FEET_INCHES.exec(text);
  if (match) return Number(match[1]) * 12 + amount(match[2]);
  match = DASHED.exec(text);
  if (!match) return null;
  if (Number(match[2]) > 11) {
    throw new NotOneLength(`reads as ${match[1]} feet and ${match[2]} inches, but inches beside feet go up `
      + `to 11; write ${EXAMPLES}`);
  }
  return Number(match[1]) * 12 + amount(`${match[2]} ${(match[3] ?? "").replace(/^[ -]+/, "")}`);
}

/** The length that a tidied text says, or null. */
function said(text, units) {
  if (PLAIN.test(text)) return amount(text);
  const match = METRIC.exec(text);
  if (match) {
    const millimetres = number(match[1]) * IN_MM[match[2].toLowerCase()];
    return units === "mm" ? millimetres : millimetres / MM_PER_INCH;
  }
  const inches = inchesOf(text);
  if (inches !== null) return units === "mm" ? inches * MM_PER_INCH : inches;
  if (text.startsWith("-") && said(text.slice(1).trim(), units) !== null) {
    throw new NotOneLength("is negative; a length is 0 or more");
  }
  return null;
}

/**
 * The length in `units` ("in" or "mm") that a text says as `value`, or as `fault` why it says
 * none. By the same rules as the optimizer's own reading; one list of examples holds both.
 */
export function readLength(text, units) {
  try {
    const value = said(tidied(text), units);
    if (value !== null && Number.isFinite(value)) return { value, fault: null };
    const why = value === null ? `is not a length; write ${EXAMPLES}` : "is too long a number";
    return { value: null, fault: `'${text}' ${why}` };
  } catch (error) {
    if (!(error instanceof NotOneLength)) throw error;
    return { value: null, fault: `'${text}' ${error.message}` };
  }
}

/** The length in `units` ("in" or "mm") that a text says, or null when it says none. */
export const parseLength = (text, units) => readLength(text, units).value;

/** Whether a text names its own unit, so that it means the same in any system. */
export const namesUnit = (text) => !PLAIN.test(tidied(text)) && parseLength(text, "in") !== null;

const trimmed = (value, places) => String(Number(value.toFixed(places)));

/** Inches as whole inches and a fraction, to 1/denominator: 86-1/2". */
export function inchText(inches, denominator = 16) {
  const steps = Math.round(Math.abs(inches) * denominator);
  const sign = inches < 0 && steps ? "-" : "";
  const whole = Math.floor(steps / denominator);
  let over = steps % denominator;
  if (!over) return `${sign}${whole}"`;
  let under = denominator;
  while (over % 2 === 0) [over, under] = [over / 2, under / 2];
  return `${sign}${whole ? `${whole}-` : ""}${over}/${under}"`;
}

/** Inches as feet and inches: 7' 2-1/2". */
export function feetText(inches) {
  const steps = Math.round(inches * 16);
  const feet = Math.floor(steps / 192);
  const rest = inchText((steps - feet * 192) / 16);
  return feet ? `${feet}' ${rest}` : rest;
}

/** A length of a brief for reading: 86-1/2" or 2197 mm. */
export function show(length, units) {
  if (length === null || length === undefined) return "";
  return units === "mm" ? `${Math.round(length)} mm` : inchText(length);
}

/** A length said the other ways people say it, to show how it was understood. */
export function understood(length, units) {
  const inches = units === "mm" ? length / MM_PER_INCH : length;
  const metric = `${trimmed(inches * MM_PER_INCH, 1)} mm`;
  return units === "mm" ? `${metric} = ${feetText(inches)}` : `${feetText(inches)} = ${metric}`;
}

/**
 * The text of the same length in the other units. A text that names its unit stays as it is;
 * plain numbers become exact decimals, so that switching there and back changes nothing.
 */
export function converted(text, from, to) {
  if (from === to || text === "" || namesUnit(text)) return text;
  const value = parseLength(text, from);
  if (value === null) return text;
  if (to === "mm") {
    const exact = value * MM_PER_INCH;
    const onTape = Math.abs(value * 64 - Math.round(value * 64)) < 1e-9;
    return trimmed(exact, onTape ? 6 : 3);
  }
  const inches = value / MM_PER_INCH;
  const tape = Math.round(inches * 64) / 64;
  return trimmed(Math.abs(inches - tape) < 2e-5 ? tape : inches, 6);
}
