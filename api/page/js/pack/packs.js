// The build pack of a layout, as the service works it out.

import { getPack, getText } from "../service.js";
import { announce, redraw, state } from "../store.js";

/** The pack of a layout, null while it is worked out: {value} or {error}. */
export function packOf(id, rank) {
  const key = `${id}/${rank}`;
  if (!state.packs.has(key)) {
    state.packs.set(key, null);
    getPack(id, rank).then(
      (value) => {
        state.packs.set(key, { value });
        announce("The build pack is ready.");
      },
      (error) => state.packs.set(key, { error }),
    ).finally(redraw);
  }
  return state.packs.get(key);
}

/** A sheet drawing of the pack as a picture's address, null while it is read. */
export function sheetOf(address) {
  if (!state.packs.has(address)) {
    state.packs.set(address, null);
    getText(address).then(
      (text) => state.packs.set(address, URL.createObjectURL(new Blob([text], { type: "image/svg+xml" }))),
      () => state.packs.set(address, ""),
    ).finally(redraw);
  }
  return state.packs.get(address);
}

/** Forget packs and free their pictures. */
export function dropPacks() {
  for (const one of state.packs.values()) if (typeof one === "string" && one) URL.revokeObjectURL(one);
  state.packs = new Map();
}
