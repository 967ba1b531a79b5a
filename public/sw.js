// Keeps the files of one build, so that the page works without a network and never mixes two builds.
// The build fills in the next three lines (xtask/src/finish.rs).
const VERSION = "unbuilt";
const FILES = {};
// What the page asks for later, if at all.
const PARTS = {};

const scope = new URL(registration.scope);
// Sites in other folders of the same host share this store: the folder is part of the name, so theirs are left alone.
const PREFIX = `decal-reckoner:${scope.pathname}:`;
const CACHE = PREFIX + VERSION;
const PAGE = "index.html";

addEventListener("install", (event) => event.waitUntil(install()));
addEventListener("activate", (event) => event.waitUntil(dropOlder()));
addEventListener("fetch", (event) => {
  const file = ownFile(event.request);
  if (file) event.respondWith(answer(file, event.request));
});
addEventListener("message", (event) => {
  const { data } = event;
  if (data === "use-update") skipWaiting();
  // A page that came over the network before this worker was there may be of another build: it is taken on only
  // if it is of this one.
  if (data?.claim === VERSION) clients.claim();
  // Once a page of this build has answered, what it may ask for later is kept too, without being in its way.
  if (data?.keep === VERSION) event.waitUntil(keepParts());
});

// All files or none. A file that is not of this build does not match its hash, and the install fails as a whole.
async function install() {
  if (await isComplete()) return;
  const responses = await Promise.all(
    Object.entries(FILES).map(async ([file, integrity]) => {
      const response = await fetch(new URL(file, scope), { cache: "no-store", integrity });
      if (!response.ok) throw new Error(`${file}: ${response.status}`);
      return [file, await plain(response)];
    }),
  );
  const cache = await caches.open(CACHE);
  try {
    await Promise.all(responses.map(([file, response]) => cache.put(new URL(file, scope), response)));
  } catch (error) {
    await caches.delete(CACHE);
    throw error;
  }
  // A device on which the older build works without a network has the parts of that too: so it is with this one.
  if (registration.active) await keepParts();
}

// Keeps the parts that are not kept yet. What cannot be had is left for when it is asked for.
async function keepParts() {
  const cache = await caches.open(CACHE);
  for (const file of Object.keys(PARTS)) {
    const address = new URL(file, scope);
    if (await cache.match(address)) continue;
    const request = new Request(`${address}?v=${VERSION}`);
    await kept(file, request, cache).catch(() => {});
  }
}

// A part over the network, which is kept. The browser may have it already, for the page may have asked for it before.
async function kept(file, request, cache) {
  const integrity = PARTS[file];
  const response = await fetch(request, { integrity }).catch(() => fetch(request, { cache: "reload", integrity }));
  if (!response.ok) return response;
  const answer = await plain(response);
  // A full store keeps it not, and it is there all the same.
  await cache.put(new URL(file, scope), answer.clone()).catch(() => {});
  return answer;
}

// True when the same build was kept before, as after a host went back to it.
async function isComplete() {
  if (!(await caches.has(CACHE))) return false;
  const cache = await caches.open(CACHE);
  const kept = await Promise.all(Object.keys(FILES).map((file) => cache.match(new URL(file, scope))));
  return kept.every(Boolean);
}

// The response without the address that it came from. A script's own address would else be that one, without the build
// in it; and where a host leads from index.html to the folder, a response that was led on cannot answer a navigation.
async function plain(response) {
  const headers = new Headers(response.headers);
  // What is kept is neither packed any more nor as long as it was on the way.
  headers.delete("content-encoding");
  headers.delete("content-length");
  return new Response(await response.blob(), { headers });
}

async function dropOlder() {
  const names = await caches.keys();
  const older = names.filter((name) => name.startsWith(PREFIX) && name !== CACHE);
  await Promise.all(older.map((name) => caches.delete(name)));
}

// The file of this build that a request asks for, or nothing where the request is not this worker's business.
function ownFile(request) {
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== scope.origin || !url.pathname.startsWith(scope.pathname)) return null;
  const build = url.searchParams.get("v");
  if (build && build !== VERSION) return null;
  const path = url.pathname.slice(scope.pathname.length);
  if (path === "" && request.mode === "navigate") return PAGE;
  return Object.hasOwn(FILES, path) || Object.hasOwn(PARTS, path) ? path : null;
}

async function answer(file, request) {
  const cache = await caches.open(CACHE);
  const found = await cache.match(new URL(file, scope));
  if (found) return found;
  return Object.hasOwn(PARTS, file) ? kept(file, request, cache) : fetch(request, { integrity: FILES[file] });
}
