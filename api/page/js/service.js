// The one place that talks to the service: only its public addresses under /v1.

import { pressed } from "./idempotency.js";

const KEY_AT = "closet-access-key";

/** A refusal of the service (RFC 9457), or a break of the line (`status` 0). */
export class Refusal extends Error {
  constructor(problem, status, retryAfter = 0) {
    super(problem.detail || problem.title || "the service did not answer");
    this.problem = problem;
    this.status = status;
    this.code = problem.code ?? "";
    this.errors = problem.errors ?? [];
    this.retryAfter = retryAfter;
  }
}

const key = () => {
  try {
    return sessionStorage.getItem(KEY_AT) ?? "";
  } catch {
    return "";
  }
};

/** Keep an access key until the browser is closed. */
export function useKey(text) {
  sessionStorage.setItem(KEY_AT, text.trim());
}

/** Headers that every request carries. */
export function credentials() {
  return key() ? { "X-API-Key": key() } : {};
}

/** A request answered, or a Refusal. */
export async function ask(path, { method = "GET", body, headers = {}, signal } = {}) {
  const sent = { ...credentials(), ...headers };
  if (body !== undefined) sent["Content-Type"] = "application/json";
  let response;
  try {
    response = await fetch(path, {
      method, signal, headers: sent, body: body === undefined ? undefined : JSON.stringify(body),
    });
  } catch (error) {
    if (error.name === "AbortError") throw error;
    throw new Refusal({ detail: "The service cannot be reached." }, 0);
  }
  if (response.ok) return response;
  const problem = await response.json().catch(() => ({ detail: response.statusText }));
  throw new Refusal(problem, response.status, Number(response.headers.get("Retry-After")) || 0);
}

const json = async (...asked) => (await ask(...asked)).json();
const text = async (...asked) => (await ask(...asked)).text();
const study = (id) => `/v1/studies/${encodeURIComponent(id)}`;
const layout = (id, rank) => `${study(id)}/layouts/${rank}`;
const post = (path, body) => pressed(path, body, (key) =>
  json(path, { method: "POST", body, headers: { "Idempotency-Key": key, Prefer: "respond-async" } }));

/** Whether a brief would be taken: it as resolved, with warnings. */
export const validate = (brief, signal) =>
  json("/v1/validations", { method: "POST", body: brief, signal });

/** Make a study of a brief. */
export const propose = (brief) => post("/v1/studies", brief);

/** Make a study from an earlier one, with a merge patch (RFC 7396) and bays to keep. */
export const rerun = (id, request) => post(`${study(id)}/reruns`, request);

/** Whether a layout drawn by hand obeys the brief of a study, and what it is worth beside a layout of it. */
export const checkLayout = (id, against, layout, signal) =>
  json("/v1/layout-checks", { method: "POST", body: { study: id, against, layout }, signal });

export const getStudy = (id) => json(study(id));
export const cancel = (id) => json(`${study(id)}/cancellation`, { method: "POST" });
export const getLineage = (id) => json(`${study(id)}/lineage`);
export const getScenarios = () => json("/v1/scenarios");
export const getLimits = () => json("/v1/limits");
export const compare = (id, ranks) => json(`${study(id)}/comparison?layouts=${ranks.join(",")}`);
export const eventsAddress = (id) => `${study(id)}/events`;

/** How far each priority may move before another layout leads. */
export const getSensitivity = (id) => json(`${study(id)}/sensitivity`);

/** Which priorities would make a layout the first of its study. */
export const getPreference = (id, rank) => json(`${study(id)}/preference?layout=${rank}`);

/** A layout's drawings: view, wall and the address of each form. */
export const listDrawings = async (id, rank) => (await json(`${layout(id, rank)}/drawings`)).items;

/** A text file of the service, such as an SVG. */
export const getText = (address) => text(address);

/** A layout's build pack; `form` is json, pdf or csv, `pricing` names prices that were sent for it. */
export const packAddress = (id, rank, form, pricing = null) =>
  `${layout(id, rank)}/build-pack${form === "json" ? "" : `.${form}`}${pricing ? `?pricing=${pricing}` : ""}`;
export const getPack = (id, rank, pricing) => json(packAddress(id, rank, "json", pricing));

/** The build pack reckoned with prices of one's own; the answer names them as its `pricing`. */
export const pricedPack = (id, rank, body) => json(packAddress(id, rank, "json"), { method: "POST", body });

/** The price book that the program comes with. */
export const getPriceBook = () => json("/v1/price-book");

/** A file of the service as a download; with a body it is asked for with that. */
export async function download(path, name, body) {
  const blob = await (await ask(path, body === undefined ? {} : { method: "POST", body })).blob();
  save(blob, name);
}

/** A file of the service in a window of its own, where the browser shows and prints it. */
export async function openFile(path) {
  const address = URL.createObjectURL(await (await ask(path)).blob());
  window.open(address, "_blank", "noopener");
  setTimeout(() => URL.revokeObjectURL(address), 600000);
}

/** Hand a blob to the person as a file. */
export function save(blob, name) {
  const link = document.createElement("a");
  link.href = URL.createObjectURL(blob);
  link.download = name;
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(link.href), 10000);
}
