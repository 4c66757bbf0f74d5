// Where the page begins.

import { render } from "../vendor/lit-html/lit-html.js";
import { changed, check } from "./brief-check.js";
import { frame } from "./frame.js";
import { beginJob } from "./jobs.js";
import { listen } from "./keys.js";
import { routeOf } from "./router.js";
import { getLimits, getScenarios } from "./service.js";
import { onAnnounce, onChange, set, state } from "./store.js";
import { open } from "./current-study.js";

const page = document.getElementById("page");
const said = document.getElementById("said");

async function start() {
  learn();
  await beginJob();
  page.replaceChildren();
  onChange(() => {
    render(frame(), page);
    document.title = titleOf();
  });
  document.querySelector(".skip").addEventListener("click", skip);
  onAnnounce(speak);
  addEventListener("hashchange", () => arrive(true));
  addEventListener("online", () => { set({ online: true }); check(); });
  addEventListener("offline", () => set({ online: false }));
  listen();
  // What is folded on the screen is not missing on paper.
  addEventListener("beforeprint", () => document.querySelectorAll(".pack details").forEach((one) => { one.open = true; }));
  arrive(false);
  changed();
  if ("serviceWorker" in navigator) navigator.serviceWorker.register("/page/sw.js", { scope: "/" }).catch(() => {});
}

function titleOf() {
  const { route, study } = state;
  if (study && route.view === "customer") return study.name;
  if (route.view === "brief" || !study) return "Closet layouts";
  return `${study.name}, ${route.view === "pack" ? `build layout ${route.pack}` : route.view === "hand" ? `layout ${route.hand} by hand` : "layouts"}`;
}

/** Go to the content without losing the address of the study. */
function skip(event) {
  event.preventDefault();
  document.getElementById("main").focus();
}

function speak(text) {
  said.textContent = said.textContent === text ? `${text}\u00a0` : text;
}

function arrive(moved) {
  const before = state.route;
  const route = routeOf(location.hash);
  const rerun = state.handed !== null && before.view === route.view;
  set({ route, fresh: state.fresh && before.view === route.view, notice: before.view === route.view ? state.notice : null });
  if (route.view !== "brief") open(route.study, route.compare);
  // A rerun leaves the focus where it is: on the slider or button that asked for it.
  if (rerun) return;
  const elsewhere = before.view !== route.view || before.study !== route.study || before.pack !== route.pack || before.hand !== route.hand;
  if (!moved || !elsewhere) return;
  requestAnimationFrame(() => {
    scrollTo(0, 0);
    document.getElementById("main")?.focus({ preventScroll: true });
  });
}

async function learn() {
  const [scenarios, limits] = await Promise.allSettled([getScenarios(), getLimits()]);
  set({
    scenarios: scenarios.value?.items ?? state.scenarios, limits: limits.value ?? state.limits,
    needsKey: state.needsKey || scenarios.reason?.status === 401,
  });
}

start();
