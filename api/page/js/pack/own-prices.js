// Prices of one's own: kept on this machine, sent with a layout, found again by the address.

import { getPriceBook } from "../service.js";

const KEPT_AT = "closet-prices";

/** What is kept of them: texts as typed, and the price book of a file. */
export const NO_PRICES = Object.freeze({ currency: "", labour: "", margin: "", tax: "", book: null });

/** The prices kept on this machine, or null. */
export function ownPrices() {
  try {
    const kept = JSON.parse(localStorage.getItem(KEPT_AT));
    return kept && typeof kept === "object" ? { ...NO_PRICES, ...kept } : null;
  } catch {
    return null;
  }
}

/** Keep prices for all jobs of this machine; null to use the program's own again. */
export function keepPrices(prices) {
  try {
    if (prices) localStorage.setItem(KEPT_AT, JSON.stringify(prices));
    else localStorage.removeItem(KEPT_AT);
  } catch {
    // A full or forbidden store costs the memory of them, nothing else.
  }
}

const blank = (text) => String(text).trim() === "";

/** A number as typed, with a comma or a point; what is no number goes to the service, which says so. */
const number = (text, share = 1) => {
  const value = Number(String(text).trim().replace(",", "."));
  return Number.isNaN(value) ? text : Number((value / share).toFixed(6));
};

/** The request for a pack reckoned with them. */
export async function requestOf({ currency, labour, margin, tax, book }) {
  const whole = book ?? (await getPriceBook());
  const quote = {
    ...(blank(labour) ? {} : { labour_rate: number(labour) }),
    ...(blank(margin) ? {} : { margin: number(margin, 100) }),
    ...(blank(tax) ? {} : { tax: number(tax, 100) }),
  };
  const about = blank(currency) ? whole.about : { ...whole.about, currency: currency.trim() };
  return { prices: { ...whole, about }, quote };
}
