// Reckons what takes a while, on a thread of its own; the page ends it to stop the search.
//
// The build puts this behind what wasm-bindgen writes of the module of each part that the page loads when it is asked
// for, and fills in the next two lines (xtask/src/finish.rs).
const VERSION = "unbuilt";
const CORE = "unbuilt";

// What the page asked for is part of this script's address. It may ask long after it was loaded, when the host has gone
// over to another build: neither this script nor its module is used then.
const own = new URL(import.meta.url);
const build = own.searchParams.get("v");

let ready;

// Most of what stops the reckoning is a drawing that takes more memory than there is: then it is as one that cannot be read.
const TOO_MUCH = [
  {
    code: "tooLarge",
    field: "artwork.svg",
    message: say("the reading stopped, as it does when a drawing takes more memory than there is"),
    hint: say("make it simpler, or open it on a device with more memory"),
  },
];

async function load(module) {
  if (build !== VERSION) throw new Error(`build ${VERSION} is here, and ${build} was asked for`);
  if (!module) {
    const core = own.href.replace(".js?", "_bg.wasm?");
    const response = await fetch(core, { integrity: CORE });
    if (!response.ok) throw new Error(`${core}: ${response.status}`);
    // As it comes in, which lets browsers keep what they make of it for the next visit, where the host names its kind.
    const streams = response.headers.get("content-type") === "application/wasm";
    module = await (streams ? WebAssembly.compileStreaming(response) : WebAssembly.compile(await response.arrayBuffer()));
    // For the page's further workers.
    postMessage({ module });
  }
  initSync({ module });
}

addEventListener("message", async ({ data: { id, task, input, attached, module } }) => {
  try {
    await (ready ??= load(module));
  } catch (error) {
    console.warn(error);
    postMessage({ id, missing: true });
    return;
  }
  try {
    reckon(task, input, attached, (heard) => postMessage({ id, ...heard }));
    postMessage({ id, done: true });
  } catch (error) {
    console.error(error);
    postMessage({ id, fault: String(error), errors: task === "artwork" ? TOO_MUCH : undefined });
  }
});
