// A layout in one's own hands: what is changed on it, taken back, kept for this visit and checked.

import { announce, notify, set, state } from "../store.js";
import { begun, reduced, toRedo, toUndo } from "../versions.js";
import { checkSoon } from "./layout-check.js";
import { KINDS } from "./kinds.js";
import { bayOf, partsOf, rulesOf } from "./stack.js";

const KEPT_AT = "closet-hand-";
const TOUCH = 1e-3;

/** Narrower no bay is made by hand [in]. */
export const LEAST_WIDTH = 6;

/** The layout that is being edited. */
export const handLayout = () => state.hand?.versions.now ?? null;

/** The rules of the study's brief. */
export const rules = () => rulesOf(state.study.brief);

const keyOf = (id, rank) => `${KEPT_AT}${id}-${rank}`;

function keptAt(id, rank) {
  try {
    return JSON.parse(sessionStorage.getItem(keyOf(id, rank)));
  } catch {
    return null;
  }
}

function keep() {
  const { study, rank, versions } = state.hand;
  try {
    sessionStorage.setItem(keyOf(study, rank), JSON.stringify(versions.now));
  } catch {
    // A full or forbidden store costs the memory of the edit, nothing else.
  }
}

/** Begin to edit a layout of the study, or go on where this visit left it. */
export function take(study, rank) {
  if (state.hand?.study === study.id && state.hand.rank === rank) return;
  const from = study.layouts.find((one) => one.rank === rank);
  if (!from) return;
  const start = { bays: from.bays, mounts: from.mounts ?? [] };
  const kept = keptAt(study.id, rank);
  const versions = kept ? reduced(begun(start), { type: "change", now: kept, label: "edits of before" }) : begun(start);
  const wall = from.bays[0]?.wall ?? study.brief.room.walls[0].id;
  set({ hand: { study: study.id, rank, versions, wall, picked: versions.now.bays[0]?.id ?? null, check: null } });
  checkSoon();
}

function step(action) {
  const versions = reduced(state.hand.versions, action);
  if (versions === state.hand.versions) return;
  const { picked, wall } = state.hand;
  const there = versions.now.bays.some((bay) => bay.id === picked);
  set({ hand: { ...state.hand, versions, picked: there ? picked : versions.now.bays.find((bay) => bay.wall === wall)?.id ?? null } });
  keep();
  checkSoon();
}

/** Change the layout: `next` gives its next bays; changes of one `group` are one step. */
export const change = (label, next, group) => step({ type: "change", now: { ...handLayout(), bays: next(handLayout().bays) }, label, group });

/** Change what hangs on its walls: `next` gives the next mounts. */
export const changeMounts = (label, next, group) =>
  step({ type: "change", now: { ...handLayout(), mounts: next(handLayout().mounts) }, label, group });

/** The next change is a step of its own. */
export const rest = () => step({ type: "rest" });

/** Take back the last step, or an undo. */
export const undoHand = () => back("undo", toUndo, "Undone");
export const redoHand = () => back("redo", toRedo, "Done again");

function back(type, label, said) {
  const what = state.hand ? label(state.hand.versions) : null;
  if (what === null) return;
  step({ type });
  announce(`${said}: ${what}.`);
}

/** Put the layout back as it was proposed. */
export function startAgain() {
  const from = state.study.layouts.find((one) => one.rank === state.hand.rank);
  step({ type: "change", now: { bays: from.bays, mounts: from.mounts ?? [] }, label: "back to the proposal" });
  notify("Back to the layout as it was proposed.", { name: "Undo", run: undoHand });
}

/** Show another wall, or pick another bay. */
export const show = (changes) => set({ hand: { ...state.hand, ...changes } });

/** The bay of that name. */
export const bayCalled = (id) => handLayout().bays.find((bay) => bay.id === id);

/** Change the parts of a bay. */
export function changeParts(id, label, next, group) {
  change(label, (bays) => bays.map((bay) => (bay.id === id ? bayOf(bay, next(partsOf(bay)), rules()) : bay)), group);
}

const snapped = (value, step) => Math.round(value / step) * step;

/** Move a board of a bay, the rods under it with it. */
export function moveBoard(id, index, to, group) {
  const { board, overRod, step } = rules();
  changeParts(id, "a shelf", (parts) => {
    const from = parts.boards[index].at;
    const at = snapped(Math.max(board, Math.min(to, parts.roof)), step);
    const below = parts.boards[index - 1]?.at ?? 0;
    const hangs = (rod) => rod.at < from && rod.at > below && from - board - rod.at <= overRod + TOUCH;
    return {
      ...parts,
      boards: parts.boards.map((one, place) => (place === index ? { ...one, at } : one)),
      rods: parts.rods.map((rod) => (hangs(rod) ? { ...rod, at: rod.at + at - from } : rod)),
    };
  }, group);
}

/** Move a rod of a bay. */
export function moveRod(id, index, to, group) {
  const { step } = rules();
  changeParts(id, "a rod", (parts) => ({
    ...parts, rods: parts.rods.map((rod, place) => (place === index ? { ...rod, at: snapped(Math.max(0, to), step) } : rod)),
  }), group);
}

/** Take a board or a rod away; what lay on a board goes with nothing else. */
export function removePart(id, list, index) {
  const items = list === "boards" ? partsOf(bayCalled(id)).boards[index].items : [];
  if (items.length) return notify(`Move ${items.join(", ")} first: it stands on that shelf.`);
  return changeParts(id, list === "boards" ? "removing a shelf" : "removing a rod",
    (parts) => ({ ...parts, [list]: parts[list].filter((_, place) => place !== index) }));
}

/** Put a shelf into the highest free space of a bay, at a level counted down from its top board. */
export function addBoard(id) {
  const { pitch, shelfDepth, board } = rules();
  const bay = bayCalled(id);
  const free = bay.zones.filter((zone) => zone.kind !== "rod").sort((a, b) => (b.top - b.bottom) - (a.top - a.bottom))[0];
  if (!free || free.top - free.bottom < 2 * board) return notify("No free space for another shelf in that bay.");
  const middle = (free.bottom + free.top + board) / 2;
  const level = bay.height - Math.round((bay.height - middle) / pitch) * pitch;
  const at = level - board > free.bottom && level <= free.top ? level : snapped(middle, rules().step);
  return changeParts(id, "another shelf", (parts) =>
    ({ ...parts, boards: [...parts.boards, { at, depth: parts.boards[0]?.depth ?? shelfDepth, items: [], stored: [] }] }));
}

/** Hang a rod under the lowest board of a bay that has none. */
export function addRod(id, hang) {
  const { board, overRod } = rules();
  changeParts(id, `${hang} hang`, (parts) => {
    const lows = parts.rods.map((rod) => rod.at - rules().drop[rod.hang]);
    const top = Math.min(...(lows.length ? lows : [(parts.boards.at(0)?.at ?? parts.roof) - board]));
    return { ...parts, rods: [...parts.rods, { at: top - overRod, hang, depth: null }] };
  });
}

/** Make a bay of another kind under the same top board. */
export function changeKind(id, kind) {
  const [name, make] = KINDS[kind];
  const made = make(bayCalled(id).height, rules());
  if (!made) return notify(`${name} does not go under the top board there.`);
  const homeless = [];
  changeParts(id, name.toLowerCase(), (parts) => {
    homeless.push(...parts.boards.flatMap((one) => one.items));
    return { ...parts, ...made, floor: { ...parts.floor, items: [...parts.floor.items, ...homeless], depth: null } };
  });
  return announce(`${name}.`);
}

/** Uprights of a wall from left to right: the bays on each side, and the place of its left face. */
export function uprightsOf(bays, wall, thickness) {
  const mine = bays.filter((bay) => bay.wall === wall).sort((a, b) => a.start - b.start);
  const found = [];
  for (const [index, bay] of mine.entries()) {
    const before = mine[index - 1];
    const shared = before && Math.abs(bay.start - before.start - before.width - thickness) < TOUCH;
    if (bay.left === "upright" && !shared) found.push({ left: null, right: bay.id, at: bay.start - thickness });
    if (shared) found.at(-1).right = bay.id;
    if (bay.right === "upright") found.push({ left: bay.id, right: null, at: bay.start + bay.width });
  }
  return found;
}

/** Move an upright along the wall: the bays on both sides become wider and narrower. */
export function moveUpright({ left, right, at }, to, group) {
  const { step, per, board } = rules();
  const bays = handLayout().bays;
  const [one, other] = [left, right].map((id) => bays.find((bay) => bay.id === id));
  const least = one ? one.start + LEAST_WIDTH * per : 0;
  const most = other ? other.start + other.width - LEAST_WIDTH * per - board : Infinity;
  const way = snapped(Math.max(least, Math.min(most, to)) - at, step);
  if (!way) return;
  change("an upright", (list) => list.map((bay) => {
    if (bay.id === left) return widened(bay, bay.start, bay.width + way);
    if (bay.id === right) return widened(bay, bay.start + way, bay.width - way);
    return bay;
  }), group);
}

const widened = (bay, start, width) => ({
  ...bay, start: Number(start.toFixed(6)), width: Number(width.toFixed(6)),
  mid_supports: (bay.mid_supports ?? []).filter((place) => place > start && place < start + width),
});

/** A name that no bay has yet, after its wall. */
export function freeName(wallId) {
  const names = new Set(handLayout().bays.map((one) => one.id));
  let number = 1;
  while (names.has(`${wallId}${number}`)) number += 1;
  return `${wallId}${number}`;
}

/** Put an upright into the middle of a bay. */
export function split(id) {
  const { board, step } = rules();
  const bay = bayCalled(id);
  const half = snapped((bay.width - board) / 2, step);
  const name = freeName(bay.wall);
  const empty = (zones) => zones.map((zone) => ({ ...zone, items: [], stored: [] }));
  change("another upright", (bays) => bays.flatMap((one) => (one.id === id ? [
    { ...widened(one, one.start, half), right: "upright" },
    { ...widened(one, one.start + half + board, one.width - half - board), id: name, left: "upright", zones: empty(one.zones) },
  ] : [one])));
}

/** Take a bay away. */
export function removeBay(id) {
  change(`removing bay ${id}`, (bays) => bays.filter((bay) => bay.id !== id));
  notify(`Bay ${id} is gone.`, { name: "Undo", run: undoHand });
}

/** Places where a thing may stand: each bay's floor and boards, in words. */
export function places() {
  return handLayout().bays.flatMap((bay) => [
    { bay: bay.id, board: null, name: `${bay.id}, floor` },
    ...partsOf(bay).boards.map((one, board) => ({ bay: bay.id, board, at: one.at, name: `${bay.id}, shelf ${board + 1}` })),
  ]);
}

/** Move a thing from where it stands (or from nowhere: `from` null) to another place, or take it out (`to` null). */
export function moveItem(item, from, to) {
  const less = (items) => {
    const at = items.indexOf(item);
    return items.filter((_, place) => place !== at);
  };
  const onto = (parts, board, next) => (board === null
    ? { ...parts, floor: { ...parts.floor, items: next(parts.floor.items) } }
    : { ...parts, boards: parts.boards.map((one, place) => (place === board ? { ...one, items: next(one.items) } : one)) });
  const now = (bays, place, next) => bays.map((bay) =>
    (bay.id === place.bay ? bayOf(bay, onto(partsOf(bay), place.board, next), rules()) : bay));
  change(`moving ${item}`, (bays) => {
    const without = from ? now(bays, from, less) : bays;
    return to ? now(without, to, (items) => [...items, item]) : without;
  });
  announce(`${item}: ${to ? to.name : "left out"}.`);
}
