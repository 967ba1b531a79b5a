// Reckons what takes a while, on a thread of its own; the page ends it to stop the search.
//
// The build puts this behind what wasm-bindgen writes of the desk's module, and fills in the next two lines
// (xtask/src/finish.rs).
const VERSION = "unbuilt";
const CORE = "unbuilt";

// What the page asked for is part of this script's address. It may ask long after it was loaded, when the host has gone
// over to another build: neither this script nor its module is used then.
const build = new URL(import.meta.url).searchParams.get("v");

let ready;

async function load(module) {
  if (build !== VERSION) throw new Error(`build ${VERSION} is here, and ${build} was asked for`);
  if (!module) {
    const response = await fetch(new URL(`desk_bg.wasm?v=${build}`, import.meta.url), { integrity: CORE });
    if (!response.ok) throw new Error(`desk_bg.wasm: ${response.status}`);
    module = await WebAssembly.compile(await response.arrayBuffer());
    // For the page's further workers.
    postMessage({ module });
  }
  initSync({ module });
}

addEventListener("message", async ({ data: { id, task, input, module } }) => {
  try {
    await (ready ??= load(module));
  } catch (error) {
    console.warn(error);
    postMessage({ id, missing: true });
    return;
  }
  try {
    reckon(task, input, (heard) => postMessage({ id, ...heard }));
    postMessage({ id, done: true });
  } catch (error) {
    console.error(error);
    postMessage({ id, fault: String(error) });
  }
});
