// Keeps the page and what was read from the service, for when there is no line. Proposing and
// checking need the service; everything else goes on.

const PAGE = "closet-page-6";
const READ = "closet-read-1";
const MOST_READ = 300;
const FILES = "/page/files.json";

self.addEventListener("install", (event) => {
  event.waitUntil(keepPage().then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(dropOld().then(() => self.clients.claim()));
});

self.addEventListener("fetch", (event) => {
  const address = new URL(event.request.url);
  if (event.request.method !== "GET" || address.origin !== location.origin) return;
  if (address.pathname === "/" || address.pathname.startsWith("/page/")) {
    event.respondWith(freshElseKept(event.request, PAGE));
  } else if (address.pathname.startsWith("/v1/") && !address.pathname.endsWith("/events")) {
    event.respondWith(freshElseKept(event.request, READ));
  }
});

async function keepPage() {
  const [cache, entry, list] = await Promise.all([caches.open(PAGE), fetched("/"), fetched(FILES)]);
  const version = /"\/page\/(v[0-9a-f]+)\//.exec(await entry.clone().text());
  const files = await list.clone().json();
  await Promise.all([cache.put("/", entry), cache.put(FILES, list), ...files.map(async (name) => {
    // By its version: the browser has most of them already, from the page that asked for this.
    await cache.put(`/page/${name}`, await fetched(`/page/${version ? `${version[1]}/` : ""}${name}`));
  })]);
  // Examples to start from, where they are to be had without a key.
  await (await caches.open(READ)).add("/v1/scenarios").catch(() => {});
}

async function fetched(address) {
  const response = await fetch(address);
  if (!response.ok) throw new Error(`${address}: ${response.status}`);
  return response;
}

async function dropOld() {
  const names = await caches.keys();
  await Promise.all(names.filter((name) => ![PAGE, READ].includes(name)).map((name) => caches.delete(name)));
}

/** What an answer is kept by: a file of the page whatever its version, so that none of an old one is left. */
function keyOf(request) {
  const address = new URL(request.url);
  const plain = address.pathname.replace(/^\/page\/v[0-9a-f]+\//, "/page/");
  return plain === address.pathname ? request : new URL(plain, address).href;
}

async function freshElseKept(request, name) {
  try {
    const response = await fetch(request);
    // What is read under an access key is not left behind on this machine.
    const open = !request.headers.has("X-API-Key");
    if (open && response.status === 200) keep(name, request, response.clone());
    return response;
  } catch (error) {
    const kept = await caches.match(keyOf(request), { ignoreSearch: request.mode === "navigate", ignoreVary: true });
    if (kept) return kept;
    throw error;
  }
}

async function keep(name, request, response) {
  const cache = await caches.open(name);
  await cache.put(keyOf(request), response);
  if (name !== READ) return;
  const keys = await cache.keys();
  await Promise.all(keys.slice(0, Math.max(0, keys.length - MOST_READ)).map((key) => cache.delete(key)));
}
