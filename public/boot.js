// Starts the page, says so plainly when it cannot run, and looks after updates.
//
// What is said is in the language of the build, which puts a text in place of each `say` (xtask/src/words/).

// The build is part of this script's address (xtask/src/finish.rs); what it loads comes from the same build.
const build = new URL(import.meta.url).search;
const version = new URLSearchParams(build).get("v");

const NO_WASM =
  say("This page reckons with WebAssembly, which this browser does not have or has turned off. A current browser can show it.");
const NOT_LOADED =
  say("The reckoner could not be loaded, so nothing on this page can be reckoned yet. Check the connection and reload the page.");
const STOPPED =
  say("The reckoning stopped by a fault of its own. What you typed is kept on this device: reload the page to go on.");
const NO_PART =
  say("This part could not be loaded on this device: it needs the network once. It is tried again as soon as there is one.");
const STOPPED_PART =
  say("The reckoning of this part stopped, by a fault of its own or for want of memory. What you typed stays: change it, and it is tried again.");
const OLD_PART =
  say("This part of the page had not been loaded when a new version came. Use the new version, as the top of the page offers: what you typed stays.");
const NOT_ASIDE =
  say("Your figures could not be set aside, because this browser did not store them under another name. They are still in their place.");

// The folder is part of the name: sites in other folders of the same host share the store.
// The site in another language is a folder in it, and keeps what is typed with it.
const folder = new URL(document.documentElement.dataset.root ?? ".", import.meta.url).pathname;
const KEPT = `decal-reckoner:${folder}:`;
const ASIDE = `decal-reckoner-aside:${folder}:`;

// For scripts and workers that are started later, and must come from the same build too.
document.documentElement.dataset.build = version ?? "";

// A script that is started by its address, as those of workers are, must be the site's own.
globalThis.trustedTypes?.createPolicy("default", {
  createScriptURL: (url) => (new URL(url, import.meta.url).href.startsWith(new URL(".", import.meta.url).href) ? url : null),
});

watchForFaults();
watchFaultButtons();
watchReturn();
for (const part of ["desk", "light-table", "counter"]) watchMissingPart(part);
const started = start();
keepForOffline();

async function start() {
  if (typeof WebAssembly !== "object") return showFault(NO_WASM);
  let core, books;
  try {
    // The build lists the hash of the module with those of the scripts (xtask/src/seal.rs).
    const { integrity } = JSON.parse(document.querySelector("[type=importmap]").textContent);
    const address = `./decal-reckoner_bg.wasm${build}`;
    const module = fetch(new URL(address, import.meta.url), { integrity: integrity[address] });
    [core, { books }] = await Promise.all([import(`./decal-reckoner.js${build}`), import(`./books.js${build}`), module]);
    await core.default({ module_or_path: module });
  } catch (error) {
    console.error(error);
    return showFault(NOT_LOADED);
  }
  try {
    await step();
    core.startPage(books);
    // The fields can be typed in by now: the answers are a step of their own, and the names of currencies another.
    await step();
    dispatchEvent(new Event("answer"));
    await step();
    await offerCurrencies();
    document.documentElement.dataset.started = "";
    watchScreen();
    watchParts();
    watchDrawings();
    watchSilhouette();
    watchScripts();
  } catch (error) {
    console.error(error);
    showFault(STOPPED);
  }
}

// Lets the browser do what waits, such as drawing what has come so far.
const step = () => new Promise((resolve) => setTimeout(resolve));

// Every currency that the browser knows, with its name in the page's language. The one in the page stays as it is, and
// is the only one where the browser cannot list them.
async function offerCurrencies() {
  const select = document.getElementById("currency");
  const names = new Intl.DisplayNames(document.documentElement.lang, { type: "currency" });
  for (const code of Intl.supportedValuesOf?.("currency") ?? []) {
    if (code === "USD") continue;
    // Some at a time: a slow phone takes long for their names.
    if (select.length % 40 === 0) await step();
    const option = select.querySelector(`[value=${code}]`) ?? new Option("", code);
    option.text = `${code} ${names.of(code)}`;
    select.append(option);
  }
}

// How high and how wide an I is in the faces of src/legibility/screen.rs that this device has, as shares of the type
// size. A browser rounds what it tells up to a pixel, so the least of several is nearest.
function measureFaces() {
  const pen = document.createElement("canvas").getContext("2d");
  if (!pen) return;
  const sides = ["700 #px Arial, Helvetica, sans-serif", "400 #px cursive"].flatMap((face) => {
    const least = [9, 9];
    for (let size = 248; size < 256; size++) {
      pen.font = face.replace("#", size);
      const ink = pen.measureText("I");
      least[0] = Math.min(least[0], (ink.actualBoundingBoxAscent + ink.actualBoundingBoxDescent) / size);
      least[1] = Math.min(least[1], (ink.actualBoundingBoxLeft + ink.actualBoundingBoxRight) / size);
    }
    return least;
  });
  document.getElementById("sight").dataset.letters = sides.map((side) => (side ? side.toFixed(4) : ""));
}

// What is shown in its true size has another one in pixels after a zoom, or on another screen. Not every browser tells of
// that as of another size of the window, and of a window that was dragged over none does: then the pointer comes back.
function watchScreen() {
  const tell = () => dispatchEvent(new Event("resize"));
  const follow = () =>
    matchMedia(`(resolution: ${devicePixelRatio}dppx)`).addEventListener("change", () => (tell(), follow()), { once: true });
  follow();
  globalThis.visualViewport?.addEventListener("resize", tell);
  document.documentElement.addEventListener("pointerenter", tell);
  measureFaces();
  tell();
}

// What is reckoned on a thread of its own is asked for when it comes near the screen, when the focus goes into it, or
// when it is printed: the part of the page that does it is loaded for the first of them.
function watchParts() {
  const any = "[data-desk],[data-light-table],[data-counter]";
  const parts = document.querySelectorAll(any);
  const look = (part) => part.dispatchEvent(new Event("look", { bubbles: true }));
  const near = new IntersectionObserver(
    (entries) => {
      for (const { isIntersecting, target } of entries) {
        if (!isIntersecting) continue;
        near.unobserve(target);
        look(target);
      }
    },
    { rootMargin: "50% 0px" },
  );
  for (const part of parts) near.observe(part);
  addEventListener("focusin", ({ target }) => {
    const part = target.closest(any);
    if (part) look(part);
  });
  addEventListener("beforeprint", () => parts.forEach(look));
}

// A drawing that is dropped on its section, or pasted outside of a field, goes the way of one that is chosen or typed.
function watchDrawings() {
  const section = document.getElementById("artwork");
  const file = document.getElementById("artwork-file");
  const text = document.getElementById("artwork.svg");
  const take = (event, data) => {
    const written = data.getData("text");
    const field = data.files.length ? file : written.includes("<svg") && text;
    if (!field) return;
    event.preventDefault();
    if (field === file) file.files = data.files;
    else text.value = written;
    field.dispatchEvent(new Event("change", { bubbles: true }));
  };
  addEventListener("paste", (event) => {
    if (!event.target.closest("input,textarea,select")) take(event, event.clipboardData);
  });
  const over = (event) => {
    if (event.type === "dragover") event.preventDefault();
    section.toggleAttribute("data-over", event.type === "dragover");
  };
  for (const kind of ["dragover", "dragleave", "drop"]) section.addEventListener(kind, over);
  section.addEventListener("drop", (event) => take(event, event.dataTransfer));
}

// Shows the outline of the drawing in hand, once it is known, in the picture of the decal and in those of its pieces.
function watchSilhouette() {
  const outline = document.getElementById("silhouette");
  const places = ["decal", "material"].map((name) => document.querySelector(`[data-picture=${name}]`));
  // It is told in a box 1000 wide.
  const show = (behind, wide, place) => {
    const shown = document.createElementNS(outline.namespaceURI, "use");
    shown.setAttribute("href", "#silhouette");
    shown.setAttribute("class", "silhouette");
    shown.setAttribute("transform", `${place} scale(${wide / 1000})`);
    behind.after(shown);
  };
  const paint = () => {
    for (const shown of document.querySelectorAll(".silhouette")) shown.remove();
    const [decal, pieces] = places.map((place) => place.querySelector(".decal,path.piece"));
    if (!decal || !outline.hasAttribute("d")) return;
    const [width, height] = ["width", "height"].map((side) => Number(decal.getAttribute(side)));
    show(decal, width, "");
    // As many as are numbered: `M0 0h9v3h-9Z` each.
    for (const piece of pieces?.getAttribute("d").split("M").slice(1, 301) ?? []) {
      const [x, y, wide, high] = piece.split(/[ hv]/).map(Number);
      if (wide > high === width > height) show(pieces, wide, `translate(${x} ${y})`);
      else show(pieces, high, `translate(${x + wide} ${y}) rotate(90)`);
    }
  };
  const watch = new MutationObserver(paint);
  for (const place of [outline, ...places]) watch.observe(place, { attributes: true, childList: true });
  paint();
}

// What is done with the rate card, and with tables and pictures, is a script of its own, named as the attribute.
function watchScripts() {
  addEventListener("click", async ({ target }) => {
    for (const name of ["publish", "copy-out"]) {
      const button = target.closest(`[data-${name}]`);
      if (button) (await import(`./${name}.js${build}`)).act(button);
    }
  });
}

// Says where a part is shown that it could not be loaded, and has it tried again.
function watchMissingPart(name) {
  let isMissing = false;
  const say = (sentence) => {
    for (const note of document.querySelectorAll(`[data-missing=${name}]`)) note.remove();
    if (!sentence) return;
    for (const part of document.querySelectorAll(`[data-${name}]`)) {
      const note = document.createElement("p");
      note.className = "note";
      note.dataset.missing = name;
      note.textContent = sentence;
      part.prepend(note);
    }
  };
  addEventListener(`${name}-missing`, async () => {
    isMissing = true;
    const isOlder = await isOlderThanHost();
    if (!isMissing) return;
    say(isOlder ? OLD_PART : NO_PART);
    if (isOlder) offerNewer();
  });
  addEventListener(`${name}-stopped`, () => say(STOPPED_PART));
  addEventListener(`${name}-here`, () => {
    isMissing = false;
    say();
  });
  const again = () => isMissing && dispatchEvent(new Event("answer"));
  addEventListener("online", again);
  document.addEventListener("visibilitychange", () => document.visibilityState === "visible" && again());
}

// Whether the host has another build by now; not known without a network.
async function isOlderThanHost() {
  try {
    const response = await fetch(new URL("sw.js", import.meta.url), { cache: "no-store" });
    return response.ok && !(await response.text()).includes(`"${version}"`);
  } catch {
    return false;
  }
}

// A page that a service worker rules gets the new build by that; any other by loading it anew.
async function offerNewer() {
  const registration = await navigator.serviceWorker?.getRegistration().catch(() => {});
  if (registration?.active) return registration.update().catch(() => {});
  const update = document.getElementById("update");
  update.querySelector("[data-act=use-update]").onclick = reloadOnce;
  update.hidden = false;
}

function watchForFaults() {
  // Some notices of the browser, such as a resize observer's, come the same way but with no error: they are no fault.
  addEventListener("error", ({ error }) => error && showFault(STOPPED));
  addEventListener("unhandledrejection", () => showFault(STOPPED));
}

function showFault(sentence) {
  const fault = document.getElementById("fault");
  fault.querySelector("[data-slot=message]").textContent = sentence;
  fault.hidden = false;
}

function watchFaultButtons() {
  const fault = document.getElementById("fault");
  fault.querySelector("[data-act=reload]").addEventListener("click", () => location.reload());
  fault.querySelector("[data-act=set-aside]").addEventListener("click", () => {
    try {
      setAside(localStorage);
    } catch (error) {
      console.error(error);
      return showFault(NOT_ASIDE);
    }
    location.reload();
  });
}

// Renames what the page keeps, so that it starts afresh and nothing is lost.
function setAside(storage) {
  const date = new Date().toISOString();
  for (const key of Object.keys(storage).filter((key) => key.startsWith(KEPT))) {
    const value = storage.getItem(key);
    const aside = `${ASIDE}${date}:${key.slice(KEPT.length)}`;
    try {
      storage.setItem(aside, value);
    } catch {
      // A full store has room for the new name only once the old one is gone.
      storage.removeItem(key);
      try {
        storage.setItem(aside, value);
      } catch (error) {
        storage.setItem(key, value);
        throw error;
      }
    }
    storage.removeItem(key);
  }
}

// A page that comes back as it was left has heard nothing, in some browsers, of what another window kept meanwhile.
function watchReturn() {
  const key = `${KEPT}fields`;
  const kept = () => {
    try {
      return localStorage[key];
    } catch {}
  };
  let left;
  addEventListener("pagehide", () => (left = kept()));
  addEventListener("pageshow", ({ persisted }) => {
    if (persisted && kept() !== left) dispatchEvent(new StorageEvent("storage", { key }));
  });
}

async function keepForOffline() {
  let isControlled, registration;
  try {
    isControlled = Boolean(navigator.serviceWorker.controller);
    registration = await navigator.serviceWorker.register(new URL("sw.js", import.meta.url), {
      scope: "./",
      updateViaCache: "none",
    });
  } catch {
    // Refused, as in a sandbox, or not there, as over plain http: the page works all the same, with a network.
    return;
  }
  // Every page of the site goes over to the new build together: one left behind would get files of both.
  // A first visit that is taken on by the worker of its own build stays as it is.
  navigator.serviceWorker.addEventListener("controllerchange", () => {
    if (isControlled) reloadOnce();
    isControlled = true;
  });
  offerUpdates(registration);
  navigator.serviceWorker.ready.then(async ({ active }) => {
    active.postMessage({ claim: version });
    await started;
    // Not at the cost of whoever pays for each byte: then it is kept when it is asked for.
    if (!navigator.connection?.saveData) active.postMessage({ keep: version });
  });
}

function offerUpdates(registration) {
  const offerWaiting = () => {
    // Without an active worker this is the first install, which needs no asking.
    if (registration.waiting && registration.active) offer(registration.waiting);
  };
  const follow = (worker) => worker?.addEventListener("statechange", offerWaiting);
  offerWaiting();
  follow(registration.installing);
  registration.addEventListener("updatefound", () => follow(registration.installing));
  // An installed page is often brought back without being loaded again; without a network there is nothing to look for.
  document.addEventListener("visibilitychange", () => {
    if (document.visibilityState === "visible") registration.update().catch(() => {});
  });
}

function offer(worker) {
  const update = document.getElementById("update");
  update.querySelector("[data-act=use-update]").onclick = () => {
    worker.addEventListener("statechange", () => worker.state === "activated" && reloadOnce());
    worker.postMessage("use-update");
  };
  update.querySelector("[data-act=later]").onclick = () => {
    update.hidden = true;
  };
  update.hidden = false;
}

let reloading = false;
function reloadOnce() {
  if (reloading) return;
  reloading = true;
  location.reload();
}
