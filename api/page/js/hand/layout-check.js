// The layout in hand, checked by the service after each change: verdict, faults, score.

import { checkLayout } from "../service.js";
import { announce, set, state } from "../store.js";

const PAUSE_MS = 120;
let timer = 0;
let running = null;

/** Check the layout in hand after a short rest. */
export function checkSoon() {
  clearTimeout(timer);
  timer = setTimeout(check, PAUSE_MS);
}

/** The layout as the service takes it: what the page keeps for itself left out. */
export const sent = ({ bays, mounts = [] }) =>
  ({ bays: bays.map(({ roof: _roof, ...bay }) => bay), ...(mounts.length ? { mounts } : {}) });

async function check() {
  running?.abort();
  const mine = new AbortController();
  running = mine;
  const { hand } = state;
  if (!hand) return;
  try {
    const found = await checkLayout(hand.study, hand.rank, sent(hand.versions.now), mine.signal);
    put(hand, { ...found, error: null });
  } catch (error) {
    if (error.name === "AbortError") return;
    const findings = (error.errors ?? []).map((fault) => ({ ...fault, pointer: fault.pointer.replace(/^\/layout/, "") }));
    put(hand, { passed: false, findings, error: findings.length ? null : error.message });
  }
}

function put(before, check) {
  if (state.hand?.versions !== before.versions) return;
  const was = state.hand.check?.passed;
  set({ hand: { ...state.hand, check } });
  if (was !== check.passed) announce(check.passed ? "It can be built so." : "It breaks a rule.");
}
