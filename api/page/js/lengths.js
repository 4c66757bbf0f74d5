// Lengths as people say them: read, written and turned from one system into the other.

export const MM_PER_INCH = 25.4;

const NUMBER = String.raw`(?:\d+(?:\.\d*)?|\.\d+)`;
const FRACTION = String.raw`(?:\d+\s*/\s*\d+)`;
const MIXED = `(?:${FRACTION}|${NUMBER}(?:[\\s-]+${FRACTION})?)`;
const INCH_MARK = `(?:"|″|''|in\\.?|inch|inches)`;
const FEET = new RegExp(
  `^(${NUMBER})\\s*(?:'|′|ft\\.?|feet|foot)\\s*(?:-?\\s*(${MIXED})\\s*${INCH_MARK}?)?$`, "i");
const INCHES = new RegExp(`^(${MIXED})\\s*${INCH_MARK}$`, "i");
const METRIC = new RegExp(`^(${NUMBER})\\s*(mm|cm|m)$`, "i");
const PLAIN = new RegExp(`^${MIXED}$`);
const IN_MM = { mm: 1, cm: 10, m: 1000 };

function mixed(text) {
  const pieces = text.replace(/\s*\/\s*/g, "/").replaceAll("-", " ").split(/\s+/);
  return pieces.reduce((sum, piece) => {
    const [over, under] = piece.split("/").map(Number);
    return sum + (under === undefined ? over : over / under);
  }, 0);
}

const finite = (value) => (Number.isFinite(value) ? value : null);

/** The length in `units` ("in" or "mm") that a text says, or null when it says none. */
export function parseLength(text, units) {
  const clean = String(text).trim().replaceAll("’", "'").replace(/[“”]/g, '"');
  const fromInch = (inches) => finite(units === "mm" ? inches * MM_PER_INCH : inches);
  let match = FEET.exec(clean);
  if (match) return fromInch(Number(match[1]) * 12 + (match[2] ? mixed(match[2]) : 0));
  match = INCHES.exec(clean);
  if (match) return fromInch(mixed(match[1]));
  match = METRIC.exec(clean);
  if (match) {
    const millimetres = Number(match[1]) * IN_MM[match[2].toLowerCase()];
    return finite(units === "mm" ? millimetres : millimetres / MM_PER_INCH);
  }
  return PLAIN.test(clean) ? finite(mixed(clean)) : null;
}

/** Whether a text names its own unit, so that it means the same in any system. */
export function namesUnit(text) {
  const clean = String(text).trim();
  return !PLAIN.test(clean) && parseLength(clean, "in") !== null;
}

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
