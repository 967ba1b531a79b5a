// Lays instances out with the package, in a worker as the page does it, and tells how long each takes.
import { materialYield, planJob } from "./decal-reckoner/index.js";

const timed = (call) => {
  const start = performance.now();
  const made = call();
  return { made, ms: performance.now() - start };
};

/** Equal pieces on a sheet; the thorough search only where the quick one falls short. */
const fill = ({ quick, thorough }) => {
  const point = (input) => {
    const { made, ms } = timed(() => materialYield(input));
    return { count: made.count, bound: made.bound, ms };
  };
  const first = point(quick);
  return { quick: first, thorough: first.count < first.bound ? point(thorough) : null };
};

/** Pieces of several sizes on a roll: at the first look at the search, after a second, and at its end. */
const nest = (order, second) => {
  const length = (report) => report.job.films[0].length.value;
  const start = timed(() => planJob(order, () => false));
  const first = { length: length(start.made), ms: start.ms };
  let best = first.length;
  let early = null;
  const began = performance.now();
  const end = timed(() =>
    planJob(order, (_, report) => {
      const ms = performance.now() - began;
      best = report ? length(report) : best;
      if (!early && ms >= second) early = { length: best, ms };
    }),
  );
  const last = { length: length(end.made), ms: end.ms };
  return { first, second: early ?? last, whole: last };
};

try {
  const { sheets, orders, second } = await (await fetch("./instances.json")).json();
  for (const sheet of sheets) postMessage(fill(sheet));
  for (const order of orders) postMessage(nest(order, second));
} catch (error) {
  postMessage({ trouble: String(error) });
}
