// Addresses within the page: #study=ID, #study=ID&compare=1,2, #study=ID&pack=1, #study=ID&hand=1; those
// of a pack and of its customer may name prices: &pricing=KEY.

/** What an address asks for. */
export function routeOf(hash) {
  const asked = new URLSearchParams(hash.replace(/^#/, ""));
  const study = asked.get("study");
  if (!study || !/^[0-9a-z]{10,40}$/i.test(study)) return { view: "brief" };
  const ranks = (asked.get("compare") ?? "").split(",").map(Number)
    .filter((rank) => Number.isInteger(rank) && rank > 0).slice(0, 4);
  const named = asked.get("pricing") ?? "";
  const pricing = /^[0-9a-f]{32}$/.test(named) ? named : null;
  const pack = Number(asked.get("pack"));
  if (pack > 0) return { view: "pack", study, pack, pricing };
  const customer = Number(asked.get("customer"));
  if (customer > 0) return { view: "customer", study, customer, pricing };
  const hand = Number(asked.get("hand"));
  if (hand > 0) return { view: "hand", study, hand };
  return { view: "study", study, compare: [...new Set(ranks)] };
}

/** The address of a place in the page. */
export function addressOf({ view, study, compare = [], pack, hand, customer, pricing }) {
  const priced = pricing ? `&pricing=${pricing}` : "";
  if (view === "brief") return "#brief";
  if (view === "pack") return `#study=${study}&pack=${pack}${priced}`;
  if (view === "customer") return `#study=${study}&customer=${customer}${priced}`;
  if (view === "hand") return `#study=${study}&hand=${hand}`;
  return compare.length ? `#study=${study}&compare=${compare.join(",")}` : `#study=${study}`;
}

/** Go to a place in the page. */
export function go(route) {
  location.hash = addressOf(route);
}

/** Change the address without a step in the browser's history. */
export function amend(route) {
  history.replaceState(null, "", addressOf(route));
}
