// What is done with a layout in hand: the rest proposed around it, or a pack of it.

import { sentence } from "../faults.js";
import { go } from "../router.js";
import { rerun } from "../service.js";
import { notify, set, state } from "../store.js";
import { later } from "../current-study.js";
import { handLayout } from "./editor.js";

const pinOf = ({ wall, start, width, pattern, left, right }) => ({ wall, start, width, pattern, left, right });
const same = (one, other) => JSON.stringify(pinOf(one)) === JSON.stringify(pinOf(other));

const mountPinOf = ({ id, wall, start }) => ({ mount: id, wall, start });
const sameMount = (one, other) => JSON.stringify(mountPinOf(one)) === JSON.stringify(mountPinOf(other));

/** The layout in hand, put in order by the service where it has checked it: on its grid, at its walls. */
function orderly() {
  const { bays, mounts = [] } = state.hand.check?.layout ?? handLayout();
  return { bays, mounts };
}

/** Bays, hooks and mirrors that are not as they were proposed. */
export function changed() {
  const from = state.study.layouts.find((one) => one.rank === state.hand.rank);
  const { bays, mounts } = orderly();
  return {
    bays: bays.filter((bay) => !from?.bays.some((one) => same(one, bay))),
    mounts: mounts.filter((mount) => !from?.mounts?.some((one) => sameMount(one, mount))),
  };
}

/** What an earlier run was asked to keep and is still there: it stays beside what was changed now. */
function keptBefore() {
  const { pins = [], mount_pins: hung = [] } = state.study.brief;
  const { bays, mounts } = orderly();
  const at = (bay) => (pin) => pin.wall === bay.wall && pin.start === bay.start && pin.width === bay.width && pin.pattern === bay.pattern;
  return {
    bays: bays.filter((bay) => pins.some(at(bay))),
    mounts: mounts.filter((mount) => hung.some((pin) => pin.mount === mount.id && pin.wall === mount.wall && pin.start === mount.start)),
  };
}

/** Propose the rest of the room around what was changed: it is kept as it is. */
export function proposeAround() {
  const [now, before] = [changed(), keptBefore()];
  const all = (list) => [...new Set([...before[list], ...now[list]])];
  runWith({ bays: all("bays"), mounts: all("mounts") }, {}, (id) => ({ view: "study", study: id }));
}

async function runWith({ bays, mounts }, options, to) {
  const { study } = state;
  set({ sending: true, notice: null });
  try {
    const made = await rerun(study.id, { patch: { pins: bays.map(pinOf), mount_pins: mounts.map(mountPinOf), options }, pins: [], stability: 0 });
    set({ handed: made });
    go(to(made.id));
  } catch (error) {
    const told = (error.errors ?? []).map((fault) => `${nameOf(bays, fault.pointer)}${plainly(fault)}`).join(" ");
    notify(`Nothing was proposed. ${told || later(error)}`);
  } finally {
    set({ sending: false });
  }
}

const HANG = /\b(short|medium|long)@/;
const NAMED = 3;

/** A pattern as the service writes it (floor:23.25+shelf*6x12@24-84) in words, from the floor up. */
export function patternWords(pattern) {
  const told = [];
  let shelves = 0;
  const close = () => {
    if (shelves) told.push(shelves > 1 ? `${shelves} shelves` : "a shelf");
    shelves = 0;
  };
  for (const part of pattern.split("+")) {
    const [, name, times = 1] = /^([a-z]+?)(?:\*([0-9]+))?(?:x|@|:|$)/.exec(part) ?? [];
    if (name === "shelf") {
      shelves += Number(times);
      continue;
    }
    close();
    told.push({ floor: "open floor", items: "things on the floor" }[name] ?? `${name} hang`);
  }
  close();
  return told.join(", ");
}

/** Why a bay cannot be kept, with some of what the search could build in its place. */
function plainly({ code, detail }) {
  const [, refused, could] = /'([^']*)' cannot stand there; what can: (.*)$/.exec(detail) ?? [];
  if (code !== "pin_refused" || !could) {
    const told = detail.replace(/^the pin cannot be kept: /, "").replace(/'([a-z]+[:@x*][^']*)'/g, (_, pattern) => patternWords(pattern));
    return sentence(told);
  }
  const kinds = [...new Set(could.split(", ").map(patternWords))].slice(0, NAMED).join("; or ");
  const why = HANG.test(refused) && !HANG.test(could)
    ? "The brief asks for no hanging, so the search hangs no rods: ask for some, or take the pack of what you drew."
    : "Choose a kind anew, or put its shelves on levels a whole spacing apart (Page Up, Page Down).";
  return `The search builds no such bay there. It could build: ${kinds}. ${why}`;
}

/** The bay that a refused pin stands for. */
function nameOf(bays, pointer) {
  const at = /\/pins\/([0-9]+)/.exec(pointer ?? "");
  const bay = at ? bays[Number(at[1])] : null;
  return bay ? `Bay ${bay.id}: ` : "";
}

/** The build pack of the layout as it is in hand: a run in which all of it is kept. */
export const packAsDrawn = () => runWith(orderly(), { alternatives: 1 }, (id) => ({ view: "pack", study: id, pack: 1 }));
