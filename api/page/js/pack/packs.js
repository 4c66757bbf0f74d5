// The build pack of a layout, as the service works it out.

import { amend } from "../router.js";
import { getPack, getText, pricedPack } from "../service.js";
import { announce, redraw, set, state } from "../store.js";
import { ownPrices, requestOf } from "./own-prices.js";

let packs = new Map();

/**
 * The pack of an address, null while it is worked out: {value} or {error}. With the prices that it
 * names, else with those kept on this machine, else with the program's own.
 */
export function packOf(route) {
  const { study, pricing } = route;
  const rank = route.pack ?? route.customer;
  const own = pricing ? null : ownPrices();
  if (!own) return loaded(`${study}/${rank}/${pricing ?? ""}`, () => getPack(study, rank, pricing));
  const found = loaded(`${study}/${rank} ${JSON.stringify(own)}`, async () => pricedPack(study, rank, await requestOf(own)));
  if (found?.value) queueMicrotask(() => nameIn(route, rank, found.value));
  return found;
}

/** Put the prices of a pack into its address: who is sent it sees the same ones. */
function nameIn(route, rank, value) {
  if (state.route !== route) return;
  packs.set(`${route.study}/${rank}/${value.pricing}`, { value });
  const named = { ...route, pricing: value.pricing };
  amend(named);
  set({ route: named });
}

function loaded(key, load) {
  if (!packs.has(key)) {
    packs.set(key, null);
    load().then(
      (value) => {
        packs.set(key, { value });
        announce("The build pack is ready.");
      },
      (error) => packs.set(key, { error }),
    ).finally(redraw);
  }
  return packs.get(key);
}

/** Work the pack of the address out anew, with the prices that are now kept. */
export function reprice(prices) {
  const { route } = state;
  if (prices) packs.delete(`${route.study}/${route.pack} ${JSON.stringify(prices)}`);
  const plain = { ...route, pricing: null };
  amend(plain);
  set({ route: plain });
}

/** A sheet drawing of the pack as a picture's address, null while it is read. */
export function sheetOf(address) {
  if (!packs.has(address)) {
    packs.set(address, null);
    getText(address).then(
      (text) => packs.set(address, URL.createObjectURL(new Blob([text], { type: "image/svg+xml" }))),
      () => packs.set(address, ""),
    ).finally(redraw);
  }
  return packs.get(address);
}

/** Forget packs and free their pictures. */
export function dropPacks() {
  for (const one of packs.values()) if (typeof one === "string" && one) URL.revokeObjectURL(one);
  packs = new Map();
}
