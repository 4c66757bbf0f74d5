// Usual values in the place of what was not measured: shown as guesses, and sent as such.

import { lengthOf, filledWalls } from "./draft.js";

const CEILING = { in: "96", mm: "2440" };
const DOOR_HEIGHT = { in: "80", mm: "2030" };
const STEP = { in: 0.125, mm: 1 };

const blank = (value) => value === undefined || value === null || String(value).trim() === "";

/** What is guessed for a draft: its place in the brief, the text of the guess, and its name. */
export function guesses({ brief }) {
  const { room, units } = brief;
  const found = [];
  if (blank(room.ceiling_height)) {
    found.push({ pointer: "/room/ceiling_height", text: CEILING[units], name: "ceiling" });
  }
  const walls = filledWalls(room.walls);
  for (const [index, opening] of (room.openings ?? []).entries()) {
    const base = `/room/openings/${index}`;
    const centred = centre(opening, walls, units);
    if (centred !== null) found.push({ pointer: `${base}/start`, text: centred, name: "door centred" });
    if (blank(opening.height)) found.push({ pointer: `${base}/height`, text: DOOR_HEIGHT[units], name: "door height" });
  }
  return found;
}

/** Where an opening starts in the middle of its wall, or null where that was typed or is not known. */
function centre({ wall, start, width }, walls, units) {
  if (!blank(start)) return null;
  const whole = lengthOf(walls.find((one) => one.id === wall)?.length, units);
  const wide = lengthOf(width, units);
  if (whole === null || wide === null || wide > whole) return null;
  return String(Math.floor((whole - wide) / 2 / STEP[units]) * STEP[units]);
}

/** The guess at a place of the brief, or null. */
export const guessAt = (draft, pointer) => guesses(draft).find((one) => one.pointer === pointer)?.text ?? null;
