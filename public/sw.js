// Keeps the files of one build, so that the page works without a network and never mixes two builds.
// The build fills in the next two lines (xtask/src/finish.rs).
const VERSION = "unbuilt";
const FILES = {};

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
addEventListener("message", ({ data }) => {
  if (data === "use-update") skipWaiting();
  // A page that came over the network before this worker was there may be of another build: it is taken on only
  // if it is of this one.
  if (data?.claim === VERSION) clients.claim();
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
}

// True when the same build was kept before, as after a host went back to it.
async function isComplete() {
  if (!(await caches.has(CACHE))) return false;
  const kept = await (await caches.open(CACHE)).keys();
  return kept.length === Object.keys(FILES).length;
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
  return Object.hasOwn(FILES, path) ? path : null;
}

async function answer(file, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(new URL(file, scope))) ?? fetch(request, { integrity: FILES[file] });
}
