// The build pack of a layout, as the service works it out.

import { getPack, getText } from "../service.js";
import { announce, redraw } from "../store.js";

let packs = new Map();

/** The pack of a layout, null while it is worked out: {value} or {error}. */
export function packOf(id, rank) {
  const key = `${id}/${rank}`;
  if (!packs.has(key)) {
    packs.set(key, null);
    getPack(id, rank).then(
      (value) => {
        packs.set(key, { value });
        announce("The build pack is ready.");
      },
      (error) => packs.set(key, { error }),
    ).finally(redraw);
  }
  return packs.get(key);
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
