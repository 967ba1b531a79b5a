// Reckons what takes a while, on a thread of its own; the page ends it to stop the search.

// The build is part of this script's address, as it is of the start script's: both load the same core.
const build = new URL(import.meta.url).search;

const core = import(`./decal-reckoner.js${build}`).then(async (core) => {
  await core.default({ module_or_path: new URL(`decal-reckoner_bg.wasm${build}`, import.meta.url) });
  return core;
});

addEventListener("message", async ({ data: { id, task, input } }) => {
  try {
    const { reckon } = await core;
    reckon(task, input, (heard) => postMessage({ id, ...heard }));
    postMessage({ id, done: true });
  } catch (error) {
    console.error(error);
    postMessage({ id, fault: String(error) });
  }
});
