// The built package in target/pkg/, used as its README says; and the page's store of books, with a stand-in for the
// browser's, whose versions no browser can be made to change from one page.
import assert from "node:assert/strict";
import { execFileSync } from "node:child_process";
import { cpSync, mkdtempSync, readFileSync, rmSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { after, test } from "node:test";
import { fileURLToPath, pathToFileURL } from "node:url";

const here = fileURLToPath(new URL(".", import.meta.url));
const folder = mkdtempSync(join(tmpdir(), "decal-reckoner-"));
after(() => rmSync(folder, { recursive: true }));
cpSync(process.env.DECAL_RECKONER_PACKAGE ?? join(here, "../../target/pkg"), join(folder, "decal-reckoner"), { recursive: true });
cpSync(join(here, "reckon.mjs"), join(folder, "reckon.mjs"));

test("the example answers", () => {
  const said = execFileSync(process.execPath, [join(folder, "reckon.mjs")], { encoding: "utf8" });
  // 20/40 tells 10 arcmin apart: 1.5 in / (2 tan 5 arcmin) = 42.97 ft. Seven of 9 by 3 in on the sheet. Costs
  // 0.50 + 0.62 + 2.10; p = (3.22 + 0.20) / (1 - 0.065 - 0.2) = 4.65, up to 5.00; its fee 0.525 is charged as 0.53.
  assert.deepEqual(said.trim().split("\n"), [
    "Readable from 42 ft (Visual acuity 20/40).",
    "7 a sheet, and no layout holds more.",
    "Ask 5.00 USD; that leaves 1.25.",
    "gap: `thick` is not a number that can be used here; write it like 5 1/4 in or 133 mm.",
  ]);
});

test("the package exports the reckoning and nothing of the page", async () => {
  const names = Object.keys(await import(join(folder, "decal-reckoner/index.js")));
  assert.deepEqual(names.sort(), ["askRateCard", "atArmsLength", "checkRateCard", "cutFile", "drawingTime", "fair", "legibilityAtDistance", "licences", "materialYield", "measureArtwork", "movingViewer", "payback", "planJob", "postage", "prices", "quote", "quoteLink", "rateCard", "readQuoteLink", "sizeByLaw", "sizeSteps", "supplyList", "supplyPacks", "trueShapeYield", "workTime"]);
});

test("answers are plain objects, and what is absent is undefined", async () => {
  const { legibilityAtDistance } = await import(join(folder, "decal-reckoner/index.js"));
  const report = legibilityAtDistance({ decal: { width: 9, height: 3, letterHeight: 1.5 } });
  assert.equal(Object.getPrototypeOf(report), Object.prototype);
  assert.equal(report.wanted, undefined);
  assert.equal(structuredClone(report).unit, "in");
});

test("a whole order is planned", async () => {
  const { planJob } = await import(join(folder, "decal-reckoner/index.js"));
  // Two of 12 by 6 in fill a square foot: five take two sheets and half a third one, of which a foot by six inches is left.
  const films = [{ name: "white", width: 12, length: 12, sheets: 4 }];
  const input = { currency: "USD", job: { films, lines: [{ name: "sign", width: 12, height: 6, quantity: 5 }] }, prices: [{ price: "3.60" }] };
  const report = planJob(input);
  assert.equal(report.job.pieces, 5);
  assert.equal(report.job.films[0].sheets, 3);
  assert.equal(report.job.films[0].proven, true);
  assert.equal(report.job.films[0].left, "1");
  // The half that is left is kept, and not paid for by this order.
  assert.deepEqual(report.job.remnantsAfter.map((remnant) => [remnant.width, remnant.length]), [["12 in", "6 in"]]);
  assert.equal(report.filmCost, "9.00");
  assert.throws(() => planJob({ ...input, job: { films, lines: [{ width: 13, height: 13 }] } }), { field: "job.lines[0].width" });
});

test("supplies are reckoned", async () => {
  const { supplyPacks, supplyList, payback } = await import(join(folder, "decal-reckoner/index.js"));
  const packs = "25 for 12.00; 350 for 60.00";
  assert.deepEqual(supplyPacks({ currency: "USD", packs }).packs.map((pack) => [pack.each, pack.winsFrom]), [["0.48", 1], ["0.1714", 126]]);
  const list = supplyList({ currency: "USD", orders: 130, supplies: [{ name: "mailers", per: "order", packs, onHand: 4 }] });
  assert.deepEqual(list.rows.map((row) => [row.needed, row.packs, row.cost]), [["130", "1\u00a0×\u00a0350", "60.00"]]);
  assert.equal(payback({ currency: "USD", machine: "20000", price: "400", costs: "250" }).sales, "134");
  assert.throws(() => supplyList({ currency: "USD", orders: 1, supplies: [{ packs: "25 for" }] }), { field: "supplies[0].packs" });
});

test("lettering in motion is reckoned", async () => {
  const { movingViewer } = await import(join(folder, "decal-reckoner/index.js"));
  // Letters of 10 in read from 300 ft by 30 ft to the inch: 5 s at 60 ft/s. Three words take 3/3 + 2 s.
  const legibility = { acuity: "20/20", decal: { lettering: "BAIT AND ICE", width: 60, height: 20, letterHeight: 10 } };
  const report = movingViewer({ legibility, way: "board", speed: "60 ft/s", aside: 0 });
  assert.deepEqual([report.seconds, report.neededSeconds, report.enough, report.mostWords], [5, 3, true, 5]);
  assert.equal(movingViewer({ legibility, way: "following", speed: 30 }).seconds, undefined);
  assert.throws(() => movingViewer({ legibility, way: "walking", aside: 3 }), { field: "speed" });
});

test("a decal is shown as large as it looks from there", async () => {
  const { atArmsLength } = await import(join(folder, "decal-reckoner/index.js"));
  // The 8.727 mm letter of an eye chart at 6 m fills 5 arcmin; at 60 cm that is a tenth of it.
  const decal = { width: 90, height: 9, letterHeight: 8.727 };
  const report = atArmsLength({ legibility: { unit: "mm", decal, distance: "6 m", acuity: "6/6" }, arm: "60 cm" });
  assert.deepEqual([report.letter, report.angle, report.detail], ["0.87 mm", "5", "1"]);
});

test("lettering is held against the size that the law sets", async () => {
  const { sizeByLaw } = await import(join(folder, "decal-reckoner/index.js"));
  const decal = { lettering: "DC 5678 EF", width: 40, height: 6, letterHeight: 2.9, letterWidth: 1.6 };
  const report = sizeByLaw({ legibility: { decal }, groupGap: "1.6 in" });
  assert.equal(report.headline, "3 points met, 1 not: letters 2.9 in high, 3 in needed");
  assert.deepEqual(report.points.map((point) => point.state), ["not met", "met", "met", "met", "look yourself", "look yourself"]);
  assert.throws(() => sizeByLaw({ legibility: { decal }, street: "far" }), { field: "street" });
});

test("a drawing is measured and joined", async () => {
  const { cutFile, measureArtwork } = await import(join(folder, "decal-reckoner/index.js"));
  // Two squares of 10 mm that overlap by half: 150 square millimetres, 50 mm of line round them.
  const svg = '<svg xmlns="http://www.w3.org/2000/svg" width="15mm" height="10mm" viewBox="0 0 15 10"><path d="M0 0h10v10H0z"/><path d="M5 0h10v10H5z"/></svg>';
  const report = measureArtwork({ unit: "mm", svg });
  assert.equal(report.pieces, 1);
  assert.equal(report.joined.before, 2);
  assert.ok(Math.abs(report.cutLength.value - 50) < 1e-6);
  assert.match(cutFile({ artwork: { unit: "mm", svg, width: 30 } }).svg, /viewBox="0 0 30 20"/);
  assert.throws(() => measureArtwork({ svg: "<svg/>" }), (error) => error.field === "svg" && error.hint.length > 0);
});

test("a rate card is made, checked, asked and put into a link", async () => {
  const { askRateCard, checkRateCard, quoteLink, rateCard, readQuoteLink } = await import(join(folder, "decal-reckoner/index.js"));
  // Own prices stand on the card as they are, and whatever the costs are, nothing else does.
  const quote = {
    currency: "USD",
    material: { unit: "in", sheet: { width: 12, length: 24 }, pieces: [{ width: 9, height: 3 }] },
    film: { price: "3.60" },
    wage: "21.0301",
    pieceTime: "6.0302",
    postage: { paid: "1.0303", charged: "2.25" },
    target: { kind: "margin", value: "22" },
  };
  const channel = { name: "post", kind: "post", tax: { kind: "added", percent: "8.25", postage: true } };
  const input = {
    prices: { quote, sizes: [{ width: 6, price: "9.00" }, { width: 9, price: "12.00" }], quantities: "1, 5", channels: [channel] },
    stock: [{ name: "lake white", width: 12, length: 24 }],
    bought: [{ price: "3.60" }],
    films: [{ offered: true, colour: "#f8f8f4" }],
    lower: "no",
    shop: "Heron Lake Lettering",
    design: "Boat name",
    from: "2026-11-28",
    lettering: { words: "KITTIWAKE" },
  };
  const card = rateCard(input);
  assert.deepEqual(card.prices, [[[["9.00", "9.00"], ["12.00", "12.00"]]]]);
  assert.doesNotMatch(JSON.stringify(card), /\.030\d/);
  // It goes through a file.
  const read = JSON.parse(JSON.stringify(card));
  assert.deepEqual(checkRateCard(read).channels, ["post"]);
  // 5 × 12.00 = 60.00; 8.25 % of 62.25 are 5.135625; together 67.39.
  const question = { card: read, width: "9 in", pieces: 5, today: "2026-12-01" };
  const answer = askRateCard(question);
  assert.deepEqual([answer.items, answer.postage, answer.tax, answer.total, answer.asks], ["60.00", "2.25", "5.14", "67.39", []]);
  assert.deepEqual(askRateCard({ ...question, pieces: 11 }).asks, ["tooMany"]);
  const { link } = quoteLink(question);
  const said = readQuoteLink({ link: `#${link}` });
  assert.deepEqual([said.width, said.pieces, said.words, said.total], ["9 in", "5", "KITTIWAKE", "67.39"]);
  assert.throws(() => readQuoteLink({ link: link.replace("pieces=5", "pieces=6") }), { field: "link" });
  assert.throws(() => checkRateCard({ ...read, wage: "21.0301" }), { field: "wage" });
  assert.throws(() => rateCard({ ...input, films: [] }), { field: "films" });
});

test("what a shop page embeds is in the package, and its manifest names it", async () => {
  const at = (name) => join(folder, "decal-reckoner", name);
  const manifest = JSON.parse(readFileSync(at("package.json"), "utf8"));
  const named = Object.values(manifest.exports).flatMap((target) => (typeof target === "string" ? [target] : Object.values(target)));
  for (const file of named) assert.ok(readFileSync(at(file)).length > 0, file);
  for (const file of ["shop.html", "decal-quote.js", "example.html", "rate-card.schema.json", "messages.schema.json"]) {
    assert.ok(manifest.exports[`./${file}`], file);
    // What npm would leave out is not there.
    const kept = manifest.files.some((glob) => file.endsWith(glob.replace("*", "")));
    assert.ok(kept, file);
  }
  // Nothing is left for the build to fill in, and nothing is loaded from elsewhere.
  const page = readFileSync(at("shop.html"), "utf8");
  assert.doesNotMatch(page, /HASH-OF|"unbuilt"|<script src|<link rel="?stylesheet/);
  assert.match(page, /const CORE = "AGFzbQ/);
  // The schema knows each member of the card that the example has.
  const example = readFileSync(at("example.html"), "utf8");
  const card = JSON.parse(example.split('<script type="application/json">')[1].split("</script>")[0]);
  const { checkRateCard } = await import(at("index.js"));
  assert.equal(checkRateCard(card).design, "Boat name");
  const schema = JSON.parse(readFileSync(at("rate-card.schema.json"), "utf8"));
  for (const member of Object.keys(card)) assert.ok(schema.properties[member], member);
  for (const member of schema.required) assert.ok(member in card, member);
  // The types name the events that the element tells of.
  const types = readFileSync(at("decal-quote.d.ts"), "utf8");
  const told = JSON.parse(readFileSync(at("decal-quote.js"), "utf8").match(/const TOLD = (\[.*\]);/)[1]);
  for (const kind of told) assert.match(types, new RegExp(`"decal-${kind}":`));
});

test("mistakes are errors with a place, and nothing is thrown that is not one", async () => {
  const { askRateCard, atArmsLength, checkRateCard, cutFile, drawingTime, fair, legibilityAtDistance, licences, materialYield, measureArtwork, movingViewer, payback, planJob, postage, prices, quote, quoteLink, rateCard, readQuoteLink, sizeByLaw, sizeSteps, supplyList, supplyPacks, trueShapeYield, workTime } = await import(join(folder, "decal-reckoner/index.js"));
  // The times of work can be asked for without a single figure: these say nothing wrong.
  const empty = [{}, { pieces: null }];
  const odd = [undefined, null, 0, NaN, "", "text", [], [[]], ...empty, { unit: 7 }, { currency: "\u0000" }, new Date(), () => {}];
  for (const reckon of [askRateCard, atArmsLength, checkRateCard, cutFile, drawingTime, fair, legibilityAtDistance, licences, materialYield, measureArtwork, movingViewer, payback, planJob, postage, prices, quote, quoteLink, rateCard, readQuoteLink, sizeByLaw, sizeSteps, supplyList, supplyPacks, trueShapeYield, workTime]) {
    for (const input of odd) {
      if (reckon === workTime && empty.includes(input)) {
        assert.equal(reckon(input).steps.length, 5);
        continue;
      }
      assert.throws(() => reckon(input), (error) => {
        assert.ok(error instanceof Error);
        assert.equal(error.name, "ReckonerError");
        assert.equal(typeof error.field, "string");
        assert.ok(error.message && error.hint && error.errors.length > 0);
        return true;
      });
    }
  }
});

test("the store of books lets a later version in, and waits for no older one", async (t) => {
  // The page in English, whose folder is the site's.
  globalThis.document = { documentElement: { dataset: {} } };
  const { books } = await import(pathToFileURL(join(here, "../../public/books.js")));
  t.mock.method(console, "warn", () => {});
  // Requests are answered in turn, as a browser does.
  const soon = (act) => setTimeout(act, 0);
  const closed = [];
  const opened = (name) => ({
    close: () => closed.push(name),
    transaction: () => {
      const transaction = { objectStore: () => ({ put: () => {}, openCursor: () => ({ set onsuccess(heard) { soon(() => heard({ target: { result: null } })); } }) }) };
      soon(() => soon(() => transaction.oncomplete()));
      return transaction;
    },
  });
  let request;
  globalThis.indexedDB = { open: () => (request = {}) };
  const ask = () => new Promise((heard) => books("add", "1", {}, "next", heard));

  // A later version asks for the store while this one has it: it is let go at once.
  let answer = ask();
  request.result = opened("in use");
  request.onsuccess();
  request.result.onversionchange();
  assert.deepEqual(closed, ["in use"]);
  assert.deepEqual((await answer).books, []);

  // An older version has it and does not let go: that is told, and when it does at last, nothing stays open.
  answer = ask();
  request.onblocked();
  const said = await answer;
  assert.deepEqual([said.refused, said.books, said.next], ["BlockedError", undefined, "next"]);
  request.result = opened("too late");
  request.onsuccess();
  assert.equal(closed.at(-1), "too late");
  delete globalThis.indexedDB;
  delete globalThis.document;
});
