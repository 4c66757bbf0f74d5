// The form for prices of one's own, folded on the sheet of a build pack.

import { html, nothing } from "../../vendor/lit-html/lit-html.js";
import { getPriceBook, save } from "../service.js";
import { notify, set, state } from "../store.js";
import { keepPrices, NO_PRICES, ownPrices } from "./own-prices.js";
import { reprice } from "./packs.js";

const MOST_BYTES = 1_000_000;
const FIELDS = [["currency", "Currency, such as USD"], ["labour", "Work, for an hour"], ["margin", "Margin, %"], ["tax", "Tax, %"]];

/** The form; `error` is why the service could not reckon with what is typed. */
export function pricesForm(error) {
  const prices = state.prices ?? ownPrices() ?? NO_PRICES;
  const put = (changes) => set({ prices: { ...prices, ...changes } });
  const use = (event) => {
    event.preventDefault();
    keepPrices(prices);
    set({ prices: null });
    reprice(prices);
  };
  const drop = () => {
    keepPrices(null);
    set({ prices: null });
    reprice(null);
  };
  return html`<details class="more prices no-print" ?open=${Boolean(error) || state.prices !== null}>
    <summary>Your own prices</summary>
    <form @submit=${use}>
      <p class="hint">Kept on this machine for every job. What is blank is as in the price book.</p>
      <div class="grid">${FIELDS.map(([name, label]) => html`<div class="field"><label for="price-${name}">${label}</label>
        <input id="price-${name}" .value=${prices[name]} inputmode=${name === "currency" ? nothing : "decimal"} maxlength="10"
          @input=${(event) => put({ [name]: event.target.value })}></div>`)}</div>
      ${error ? html`<p class="fault" role="alert">${error}</p>` : nothing}
      <div class="adds">
        <button class="plain" id="use-prices">Use these prices</button>
        <label class="plain file">Load a price book<input class="unseen" type="file" accept="application/json,.json" @change=${(event) => load(event, put)}></label>
        <button type="button" class="plain" @click=${() => takeBook(prices)}>Save the price book</button>
        ${ownPrices() ? html`<button type="button" class="plain" @click=${drop}>Back to the made-up prices</button>` : nothing}
      </div>
      <p class="hint">${prices.book ? "With the price book that you loaded." : "Prices of materials and hardware are made-up ones: save the price book, put in what your shop charges, and load it."}</p>
    </form></details>`;
}

async function load(event, put) {
  const [file] = event.target.files;
  event.target.value = "";
  if (!file) return;
  try {
    if (file.size > MOST_BYTES) throw new Error("it is larger than 1 MB");
    const book = JSON.parse(await file.text());
    if (!book?.about || !book.sheet) throw new Error("it is no price book");
    put({ book });
    notify(`${file.name} is loaded. Press “Use these prices” to reckon with it.`);
  } catch (error) {
    notify(`${file.name} was not loaded: ${error instanceof SyntaxError ? "it is no JSON" : error.message}.`);
  }
}

async function takeBook({ book }) {
  try {
    const whole = book ?? (await getPriceBook());
    save(new Blob([`${JSON.stringify(whole, null, 2)}\n`], { type: "application/json" }), "price-book.json");
  } catch (error) {
    notify(error.message);
  }
}
