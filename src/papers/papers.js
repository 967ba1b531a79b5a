// The papers: what the maker's page has reckoned, laid out for a printer. It reckons no price and asks nobody anything.
//
// The build puts src/words.js and src/copied.js before it (xtask/src/shop.rs).

const form = byId("form");
const field = (name) => form.elements[name];
const typed = (name) => field(name).value.trim();
const textOr = (text, other) => (typeof text === "string" ? text : other);

// ---- What is kept ----------------------------------------------------------------------------------------------------

// The folder of the site is part of the name, for sites in other folders of the same host share the store; the site in
// another language is a folder in it, and keeps all with it.
const KEPT = `decal-reckoner:${new URL(document.documentElement.dataset.root ?? ".", location.href).pathname}:`;
const TOLD = `${KEPT}papers`;
const OWN = `${KEPT}papers-own`;
const VERSION = 1;

// What the maker's page tells. It comes with the address where the browser keeps nothing.
function told() {
  const text = location.hash.length > 1 ? decodeURIComponent(location.hash.slice(1)) : localStorage.getItem(TOLD);
  return text && JSON.parse(text);
}

// How papers are laid out, the maker's own words on them, and the quote in hand; the customer only if the maker says so.
let own = { version: VERSION, words: {} };

function readOwn() {
  try {
    const kept = JSON.parse(localStorage.getItem(OWN));
    if (kept?.version === VERSION && typeof (kept.words ?? 0) === "object") own = kept;
  } catch {
    // What cannot be read is as good as none; it is written over when something is chosen.
  }
}

// A browser that keeps nothing, or has no room, shows the same papers all the same, and says so.
function keepOwn() {
  let isKept = true;
  try {
    localStorage.setItem(OWN, JSON.stringify(own));
  } catch {
    isKept = false;
  }
  byId("not-kept").hidden = isKept;
}

// ---- Words and figures -----------------------------------------------------------------------------------------------

// The language of the screen, and that of the papers.
let screen;
let paper;

const say = (message, values) => paper.say(message, values);
const amount = (text) => paper.amount(text, report.sale);

function number(value, digits) {
  return new Intl.NumberFormat(paper.tag, { maximumFractionDigits: digits }).format(value);
}

// Lengths within a text that the core wrote, in whichever language it was built.
const localized = (text) => text.replaceAll(/\d+[.,]\d+/gu, (found) => number(found.replace(",", "."), 4));
const long = (length) => paper.long(length.text);

function size({ pieceWidth, pieceHeight }) {
  return say("size-text", { width: long(pieceWidth), height: long(pieceHeight) });
}

// ---- Pieces of paper -------------------------------------------------------------------------------------------------

function made(tag, name, ...children) {
  const element = document.createElement(tag);
  if (name) element.className = name;
  element.append(...children);
  return element;
}

// A cell is a text, or an object: its `text`, the bare `value` for a file, and how it looks.
function cellOf(tag, cell) {
  const { text = "", lines, name, box, blank, span } = typeof cell === "string" ? { text: cell } : cell;
  const shown = made(tag, name ?? "");
  if (span) shown.colSpan = span;
  if (box) shown.append(made("span", "box"));
  if (blank) shown.append(made("span", "blank"));
  if (lines) shown.append(...lines.map((line, at) => made("p", at ? "lines" : "strong lines", line)));
  else shown.append(text);
  return shown;
}

const rowOf = (cells, tag) => cells.map((cell) => cellOf(tag, cell));

// The tables of the papers as lists of lines, to be taken elsewhere.
const tables = new Map();

function table(name, caption, columns, rows) {
  tables.set(name, { caption, columns, rows });
  const head = made("thead", "", made("tr", "", ...rowOf(columns, "th")));
  for (const cell of head.querySelectorAll("th")) cell.scope = "col";
  const lines = rows.map(({ cells, name: kind }) => {
    const line = made("tr", kind ?? "", cellOf("th", cells[0]), ...rowOf(cells.slice(1), "td"));
    line.firstChild.scope = "row";
    return line;
  });
  const shown = made("table", name, made("caption", "", say(caption)), head, made("tbody", "", ...lines));
  return shown;
}

// 100 mm above, 4 in below, drawn in millimetres.
function ruler() {
  const [start, middle, inch] = [1, 6.5, 25.4];
  const line = (x1, y1, x2, y2) => `M${x1.toFixed(3)} ${y1}L${x2.toFixed(3)} ${y2}`;
  const marks = [line(start, middle, start + 4 * inch, middle)];
  for (let mm = 0; mm <= 100; mm += 1) {
    const high = mm % 10 === 0 ? 3 : mm % 5 === 0 ? 2 : 1;
    marks.push(line(start + mm, middle, start + mm, middle - high));
  }
  for (let part = 0; part <= 32; part += 1) {
    const high = part % 8 === 0 ? 3 : part % 4 === 0 ? 2 : 1;
    marks.push(line(start + (part * inch) / 8, middle, start + (part * inch) / 8, middle + high));
  }
  const figure = (x, y, text, anchor) => ["text", ["x", `${x}`, "y", `${y}`, "font-size", "2.8", "text-anchor", anchor], text];
  const box = ["viewBox", "0 0 104 13", "role", "img", "aria-label", say("ruler-label")];
  return drawn([
    "svg",
    box,
    ["path", ["d", marks.join(""), "stroke", "#000", "stroke-width", "0.2", "fill", "none"]],
    figure(start, 2.6, "0", "start"),
    figure(start + 50, 2.6, "50", "middle"),
    figure(start + 100, 2.6, "100 mm", "end"),
    figure(start, 12.4, "0", "start"),
    figure(start + 2 * inch, 12.4, "2", "middle"),
    figure(start + 4 * inch, 12.4, "4 in", "end"),
  ]);
}

function newSheet(kind) {
  const content = made("div", "content");
  const foot = made("div", "foot", ruler(), made("p", "", say("measure-me")));
  const page = made("article", `page ${kind}`, content, foot);
  page.lang = paper.language;
  byId("sheets").append(made("div", "frame", page));
  return { content, foot };
}

const isTooHigh = (content) => content.scrollHeight > content.clientHeight + 1;

// Takes so many words off the end of a paragraph that the rest has room; they are the same paragraph on the next sheet.
// None where not even its first word has room, or where it has but one.
function divide(paragraph, content) {
  const words = paragraph.textContent.split(" ");
  const first = (count) => (paragraph.textContent = words.slice(0, count).join(" "));
  let [fits, fails] = [0, words.length];
  while (fails - fits > 1) {
    const middle = (fits + fails) >> 1;
    first(middle);
    if (isTooHigh(content)) fails = middle;
    else fits = middle;
  }
  first(fits || words.length);
  return fits ? made("p", paragraph.className, words.slice(fits).join(" ")) : undefined;
}

// Lays blocks on as many sheets as they need: a table is divided between its rows, a paragraph that is higher than a sheet
// between its words, anything else stays whole. Says whether all of it has room.
function flow(kind, blocks) {
  const sheets = [newSheet(kind)];
  const waiting = [...blocks];
  while (waiting.length > 0) {
    const { content } = sheets.at(-1);
    const block = waiting.shift();
    content.append(block);
    if (!isTooHigh(content)) continue;
    if (block.classList.contains("pair")) {
      // Too much to stand side by side.
      block.remove();
      waiting.unshift(...[...block.children].flatMap((side) => [...side.children]));
      continue;
    }
    const isFirst = content.children.length === 1;
    const rows = block.tBodies?.[0];
    const rest = rows && block.cloneNode(true);
    rest?.tBodies[0].replaceChildren();
    while (isTooHigh(content) && rows?.rows.length > 1) rest.tBodies[0].prepend(rows.lastElementChild);
    if (!isTooHigh(content)) waiting.unshift(rest);
    else if (isFirst) {
      const paragraph = block.matches("p") ? block : block.querySelector(":scope > p:last-child");
      const more = paragraph && divide(paragraph, content);
      if (!more) continue;
      waiting.unshift(more);
    } else {
      // Not even its first row has room here.
      rows?.append(...rest.tBodies[0].children);
      block.remove();
      waiting.unshift(block);
    }
    sheets.push(newSheet(kind));
  }
  // Each sheet says whose it is, for when it lies loose.
  const title = say(`${kind}-title`);
  const { number } = good;
  for (const [at, { foot }] of sheets.entries()) {
    if (sheets.length > 1) foot.append(made("p", "", say("sheet-of", { title, number, page: at + 1, pages: sheets.length })));
  }
  return !sheets.some(({ content }) => isTooHigh(content));
}

// ---- The quote -------------------------------------------------------------------------------------------------------

function head(title, ...right) {
  const left = made("div", "", made("h2", "", title));
  if (report.shop) left.prepend(made("p", "from", report.shop));
  return made("div", "head", left, made("div", "", ...right.map((text, at) => made("p", at ? "whole" : "", text))));
}

// So many lines stand one below the other; more would not leave a sheet room for anything else.
const MOST_LINES = 12;

function words() {
  const lines = (report.words ?? "").split("\n").map((line) => line.trim()).filter(Boolean);
  return lines.join(lines.length > MOST_LINES ? " / " : "\n") || say("words-none");
}

const figure = (text, value) => ({ text, value, name: "figure" });

function quote() {
  const { sale, film, design } = report;
  const right = [say("quote-number", { number: good.number }), say("quote-date", { date: paper.day(good.date) })];
  if (good.until) right.push(say("quote-until", { date: paper.day(good.until) }));
  const top = head(say("quote-title"), ...right);
  if (typed("contact")) top.querySelector("h2").before(made("p", "lines", typed("contact")));
  if (typed("customer")) top.firstChild.append(made("p", "lines", say("quote-for", { customer: typed("customer") })));
  const kind = typed("film") ? say("quote-film", { film: typed("film") }) : say("quote-film-open");
  const lines = [report.what, words(), say("quote-size", { size: size(film) }), kind, design?.credit].filter(Boolean);
  const line = (what, pieces, price, sum) => ({
    cells: [what, figure(number(pieces, 0), `${pieces}`), figure(amount(price), price), figure(amount(sum), sum)],
  });
  const rows = [line({ lines, name: "what" }, sale.pieces, sale.price, sale.items)];
  for (const { text, pieces, price, sum } of good.lines) {
    rows.push(line({ text, name: "what" }, pieces, decimal(price), decimal(sum)));
  }
  const sum = (message, value, kind) => ({
    cells: [{ text: say(message), span: 3 }, figure(value ? amount(value) : "", value ?? "")],
    name: kind,
  });
  if (Number(sale.postage) > 0) rows.push(sum("row-postage", sale.postage));
  else if (sale.posted) rows.push(sum("row-postage-free"));
  const { tax, isIncluded, total } = together();
  const hasTax = good.tax !== undefined || sale.taxKind !== "none";
  if (hasTax && !isIncluded) rows.push(sum("row-tax-added", decimal(tax)));
  rows.push(sum("row-total", decimal(total), "total"));
  if (hasTax && isIncluded) rows.push(sum("row-tax-included", decimal(tax)));
  const columns = [say("column-what"), ...["pieces", "each", "amount"].map((name) => figure(say(`column-${name}`)))];
  const blocks = [top, table("quote", "quote-caption", columns, rows)];
  if (typed("terms")) {
    const text = typed("terms").slice(0, MOST_TERMS);
    const [first, ...more] = text.split("\n").map((line) => made("p", "terms", line));
    blocks.push(made("section", "", made("h3", "", say("terms-title")), first), ...more);
  }
  inform("terms-error", typed("terms").length > MOST_TERMS ? "terms-too-long" : "", { most: MOST_TERMS });
  inform("quote-error", flow("quote", blocks) ? "" : "quote-too-long");
}

// Some twenty sheets of terms; whoever has more has pasted something else.
const MOST_TERMS = 60_000;

// ---- Amounts of the maker's own ----------------------------------------------------------------------------------------

// They are whole numbers of the money's least unit, so that a sum is exact.

// An amount as it is typed, with a point or a comma before as many digits as the money has; none where it is not one.
function minor(text) {
  const { decimals } = report.sale;
  const [, minus, whole, part = ""] = /^([-−]?)(\d{1,9})(?:[.,](\d+))?$/u.exec(text.trim()) ?? [];
  if (whole === undefined || part.length > decimals) return undefined;
  const value = BigInt(whole + part.padEnd(decimals, "0"));
  return minus ? -value : value;
}

function decimal(value) {
  const { decimals } = report.sale;
  const digits = `${value < 0n ? -value : value}`.padStart(decimals + 1, "0");
  const at = digits.length - decimals;
  return `${value < 0n ? "-" : ""}${digits.slice(0, at)}${decimals ? "." : ""}${digits.slice(at)}`;
}

// Of all lines. A tax of the maker's own is that of the whole quote, in the place of the one that the page has reckoned.
function together() {
  const { total, tax, taxKind } = report.sale;
  const reckoned = tax ? minor(tax) : 0n;
  const isIncluded = taxKind === "included";
  const own = good.tax ?? reckoned;
  const lines = good.lines.reduce((sum, line) => sum + line.sum, minor(total));
  return { tax: own, isIncluded, total: isIncluded ? lines : lines - (taxKind === "added" ? reckoned : 0n) + own };
}

const lineFields = (line) => [...line.querySelectorAll("input")];

function addLine(values = []) {
  const label = (name, value, input) => {
    Object.assign(input, { name: `line-${name}`, value: textOr(value, "") });
    const told = made("span", "", screen.say(`line-${name}`));
    told.dataset.message = `line-${name}`;
    return made("label", "", told, input);
  };
  const box = (more) => Object.assign(document.createElement("input"), more);
  const remove = Object.assign(made("button", "quiet", screen.say("line-remove")), { type: "button" });
  remove.dataset.message = "line-remove";
  const line = made(
    "div",
    "line",
    label("text", values[0], box({ maxLength: 200 })),
    label("pieces", values[1], box({ inputMode: "numeric" })),
    label("price", values[2], box({ inputMode: "decimal" })),
    remove,
    Object.assign(made("p", "error"), { hidden: true }),
  );
  remove.addEventListener("click", () => {
    line.remove();
    byId("add-line").focus();
    keepQuote();
    show();
  });
  byId("lines").append(line);
  return line;
}

// The lines that can be used; what is wrong with another one stands below it.
function readLines() {
  good.lines = [];
  for (const line of all("#lines .line")) {
    const [what, count, each] = lineFields(line);
    const [text, pieces, price] = [what.value.trim(), count.value.trim(), minor(each.value)];
    const isEmpty = !text && !pieces && !each.value.trim();
    const mistakes = [
      [what, !text, "mistake-line-text"],
      [count, !/^[1-9]\d{0,4}$/u.test(pieces), "mistake-line-pieces"],
      [each, price === undefined, "mistake-line-price"],
    ].filter(([, isWrong]) => isWrong && !isEmpty);
    for (const input of [what, count, each]) input.removeAttribute("aria-invalid");
    for (const [input] of mistakes) input.setAttribute("aria-invalid", "true");
    const place = line.querySelector(".error");
    place.textContent = mistakes.length ? screen.say(mistakes[0][2]) : "";
    place.hidden = mistakes.length === 0;
    if (!isEmpty && mistakes.length === 0) good.lines.push({ text, pieces: Number(pieces), price, sum: BigInt(pieces) * price });
  }
}

function readTax() {
  const tax = typed("tax") ? minor(typed("tax")) : undefined;
  const isWrong = typed("tax") && (tax === undefined || tax < 0n);
  const isAsked = !typed("tax") && good.lines.length > 0 && report.sale.taxKind !== "none";
  if (!isWrong) good.tax = tax;
  field("tax").toggleAttribute("aria-invalid", Boolean(isWrong));
  if (isWrong) field("tax").setAttribute("aria-invalid", "true");
  inform("tax-error", isWrong ? "mistake-tax" : isAsked ? "tax-of-all" : "");
  inform("lines-error", together().total < 0n ? "mistake-total" : "");
}

// ---- The bench ticket ------------------------------------------------------------------------------------------------

function facts() {
  const { sale, film, design, post } = report;
  const licence = design ? say(`licence-${design.may}`, { design: design.name }) : say("licence-own");
  const stock = { width: long(film.width), length: film.length ? long(film.length) : "" };
  // How the whole order is cut: full sheets, and the last one.
  const cuts = film.sheets.map(({ copies, count, cutLength }) =>
    say(film.stock === "roll" ? "cut-roll" : "cut-sheets", { copies, count, length: long(cutLength) }),
  );
  if (cuts.length > 1) cuts.unshift(say("cut-all", { sheets: film.sheets.reduce((all, { copies }) => all + copies, 0) }));
  const isMirrored = report.glass === "inside" || report.mirrored;
  const isOwnClass = post?.name !== undefined;
  const known = post?.id && (isOwnClass ? post.name : say(`post-${post.id}`));
  const told = [
    ["number", { text: say("quote-number", { number: good.number }) }],
    ["words", { text: words(), name: "strong lines" }],
    design && ["design", design.name],
    ["size", { text: size(film), name: "strong" }],
    ["film", typed("film") || { blank: true }],
    ["stock", say(film.length ? "stock-sheet" : "stock-roll", stock)],
    ["edges", say("edges", { margin: long(film.margin), gap: long(film.gap) })],
    ["side", { text: say(isMirrored ? "side-mirrored" : "side-straight"), name: isMirrored ? "strong" : "" }],
    // Whether it was joined is known to the maker only.
    ["drawing", { text: say("drawing-joined"), box: true }],
    ["pieces", { text: number(sale.pieces, 0), name: "strong" }],
    ["cut", { text: cuts.join("\n"), name: "lines" }],
    ["tape", say("tape", { pieces: sale.pieces, size: size(film) })],
    ["channel", sale.channel],
    ["post", sale.posted ? known || say("post-open") : say("post-table")],
    ["licence", { text: licence, name: design && design.may !== "yes" ? "strong" : "" }],
  ];
  const rows = told.filter(Boolean).map(([name, value]) => ({ cells: [say(`fact-${name}`), value] }));
  return table("facts", "facts-caption", [say("column-fact"), say("column-value")], rows);
}

function supplies() {
  const rows = report.sale.supplies.map(({ name, count }) => ({
    cells: [{ text: name, box: true }, figure(number(count, 0), `${count}`)],
  }));
  return table("supplies", "supplies-caption", [say("column-supply"), figure(say("column-count"))], rows);
}

const STEPS = ["setup", "cut", "weed", "tape", "pack"];

function times() {
  // Over a table nothing is packed for the post.
  const rows = STEPS.filter((step) => report.sale.posted || step !== "pack").map((step) => {
    const minutes = report.minutes?.[step];
    const shown = minutes === undefined ? "" : say("minutes", { minutes: number(minutes, minutes < 10 ? 1 : 0) });
    return { cells: [say(`step-${step}`), figure(shown, minutes === undefined ? "" : minutes.toFixed(1)), { blank: true }] };
  });
  const columns = [say("column-step"), figure(say("column-about")), say("column-taken")];
  return table("times", "times-caption", columns, rows);
}

// The picture as the core drew it, with its words in the language of the papers.
function translated(node) {
  if (typeof node === "string") {
    for (const [start, message, value] of PICTURE) {
      if (node.startsWith(start)) return say(message, { [value]: localized(node.slice(start.length)) });
    }
    return localized(node);
  }
  const [tag, attributes, ...children] = node;
  return [tag, attributes, ...children.map(translated)];
}

// What the words of the core begin with, in each language that it is built in.
const PICTURE = [
  ["each ", "picture-each", "size"],
  ["cut ", "picture-cut", "length"],
  ["left over ", "picture-left", "size"],
  ["cada una ", "picture-each", "size"],
  ["cortar a ", "picture-cut", "length"],
  ["sobran ", "picture-left", "size"],
];

function picture(of = report.film.picture) {
  const shown = drawn(translated(of));
  shown.setAttribute("aria-label", say("picture-label"));
  shown.setAttribute("font-family", "sans-serif");
  return shown;
}

const SCALES = [1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100, 150, 200, 300, 500, 1000];

// The picture is drawn in millimetres of the film, and is shown in a round part of its size.
function layout(title, of) {
  const shown = picture(of);
  const { width, height } = shown.viewBox.baseVal;
  const scale = SCALES.find((scale) => width / scale <= 180 && height / scale <= 72) ?? SCALES.at(-1);
  shown.style.width = `${width / scale}mm`;
  shown.style.height = `${height / scale}mm`;
  return made("figure", "", made("h3", "", title), shown, made("figcaption", "", say("picture-scale", { scale: number(scale, 1) })));
}

function ticket() {
  const [order, lists] = [made("div", "", facts()), made("div")];
  if (report.sale.supplies.length > 0) lists.append(supplies());
  const cautions = ["blades", "heat", "solvents"].map((name) => made("p", "", say(`bench-${name}`)));
  lists.append(times(), made("section", "", made("h3", "", say("cautions-title")), ...cautions));
  const blocks = [head(say("ticket-title"), paper.day(good.date)), made("div", "pair", order, lists), layout(say("picture-title"))];
  if (report.film.last) blocks.push(layout(say("picture-last"), report.film.last));
  flow("ticket", blocks);
}

// ---- The care card ---------------------------------------------------------------------------------------------------

const SURFACES = ["outside", "inside", "paint", "hull", "mug"];
const PARTS = ["clean", "apply", "cure", "remove", "caution"];
const SHARES = ["1", "2", "4"];

function card() {
  const care = made("section", "care", made("h2", "", say("card-title")));
  for (const part of PARTS) {
    // Which is left empty is left out.
    if (typed(part)) care.append(made("h3", "", say(`part-${part}`)), made("p", "", typed(part)));
  }
  if (report.shop) care.append(made("p", "from", say("card-from", { shop: report.shop })));
  return care;
}

function cards() {
  const share = Number(typed("share"));
  const { content } = newSheet("cards-sheet");
  const held = made("div", "cards", ...Array.from({ length: share }, card));
  held.dataset.share = share;
  content.append(held);
  held.prepend(cutMarks(held, share));
  const isCut = (care) => care.scrollHeight > care.clientHeight + 1 || care.scrollWidth > care.clientWidth + 1;
  inform("card-error", [...held.querySelectorAll(".care")].some(isCut) ? "card-too-long" : "");
}

// Short lines in the margin, at both ends of each cut.
function cutMarks(held, share) {
  const [wide, high] = [held.clientWidth, held.clientHeight];
  const margin = parseFloat(getComputedStyle(held).paddingLeft);
  const across = share === 4 ? [margin, wide / 2, wide - margin] : [margin, wide - margin];
  const down = share > 1 ? [margin, high / 2, high - margin] : [margin, high - margin];
  const end = margin * 0.8;
  // Below them is the ruler, whose figures they are not to touch.
  const foot = high - margin * 0.35;
  const marks = [
    ...across.flatMap((x) => [`M${x} 0V${end}`, `M${x} ${foot}V${high - end}`]),
    ...down.flatMap((y) => [`M0 ${y}H${end}`, `M${wide} ${y}H${wide - end}`]),
  ];
  const path = ["path", ["d", marks.join(""), "stroke", "#000", "stroke-width", "0.8", "fill", "none", "class", "cut-marks"]];
  return drawn(["svg", ["viewBox", `0 0 ${wide} ${high}`, "aria-hidden", "true"], path]);
}

// ---- The maker's own words -------------------------------------------------------------------------------------------

const ours = (part) => (part === "terms" ? say("terms-text") : say(`card-${part}`, { surface: typed("surface") }));
const placeOf = (part) => `${paper.language}:${part === "terms" ? "" : typed("surface")}:${part}`;

function fillWords() {
  for (const part of ["terms", ...PARTS]) {
    const kept = own.words[placeOf(part)];
    field(part).value = typeof kept === "string" ? kept : ours(part);
    field(part).lang = paper.language;
  }
}

function keepWords(part) {
  const text = field(part).value;
  if (text === ours(part)) delete own.words[placeOf(part)];
  else own.words[placeOf(part)] = text;
}

function restore(what) {
  for (const part of what === "terms" ? ["terms"] : PARTS) delete own.words[placeOf(part)];
  fillWords();
  keepOwn();
  show();
}

// ---- Elsewhere -------------------------------------------------------------------------------------------------------

const fileName = (what, kind) => `${what}-${good.number.replaceAll(/[^\w-]+/gu, "-")}.${kind}`;

async function copy(text) {
  const place = byId("copied");
  place.value = text;
  place.hidden = false;
  let message = "copied";
  try {
    await navigator.clipboard.writeText(text);
  } catch {
    message = "copy-by-hand";
    place.focus();
    place.select();
  }
  byId("said").textContent = screen.say(message);
}

async function savePng() {
  try {
    save(await printedPng(picture()), fileName("layout", "png"));
  } catch {
    byId("said").textContent = screen.say("no-picture");
  }
}

function offerCopies() {
  const button = (message, name, act) => {
    const pressed = Object.assign(made("button", "quiet", screen.say(message)), { type: "button" });
    pressed.dataset.take = name;
    pressed.addEventListener("click", act);
    return pressed;
  };
  const line = (message, ...buttons) => {
    const head = Object.assign(made("th", "", screen.say(message)), { scope: "row" });
    return made("tr", "", head, made("td", "", ...buttons));
  };
  const lines = [...tables].map(([name, taken]) =>
    line(
      taken.caption,
      button("copy-text", `${name}-text`, () => copy(asText(taken))),
      button("copy-csv", `${name}-csv`, () => save(asCsv(taken), fileName(name, "csv"), "text/csv")),
    ),
  );
  if (field("ticket").checked) {
    const svg = () => save(svgText(picture()), fileName("layout", "svg"), "image/svg+xml");
    lines.push(line("picture-title", button("picture-svg", "picture-svg", svg), button("picture-png", "picture-png", savePng)));
  }
  byId("copies").tBodies[0].replaceChildren(...lines);
}

// ---- The form --------------------------------------------------------------------------------------------------------

let report;
// What the quote says, as long as what is typed cannot be used.
const good = { lines: [] };

function inform(place, message, values) {
  const shown = byId(place);
  shown.textContent = message ? screen.say(message, values) : "";
  shown.hidden = !message;
}

const isDay = (text) => /^\d{4}-\d\d-\d\d$/u.test(text) && Number.isFinite(Date.parse(text));

function readFields() {
  const [name, date, until] = ["number", "date", "until"].map(typed);
  // A day of the quote that cannot be used leaves the last good one on it.
  const day = isDay(date) ? date : good.date;
  const mistakes = {
    number: !name,
    date: !isDay(date),
    // A day that is typed in part is no value of its field.
    until: !field("until").validity.valid || (until && (!isDay(until) || until < day)),
  };
  for (const [member, isWrong] of Object.entries(mistakes)) {
    inform(`${member}-error`, isWrong ? `mistake-${member}` : "");
    if (isWrong) field(member).setAttribute("aria-invalid", "true");
    else {
      field(member).removeAttribute("aria-invalid");
      good[member] = typed(member);
    }
  }
  readLines();
  readTax();
}

// The day and the how-manieth quote of it.
const proposal = (date) => `${date.replaceAll("-", "")}-${own.counted?.day === date ? own.counted.count : 1}`;

function later(date, days) {
  const [year, month, day] = date.split("-").map(Number);
  return new Date(Date.UTC(year, month - 1, day + days)).toISOString().slice(0, 10);
}

// A quote counts for so many days, unless the maker says otherwise: a rule of thumb of ours.
const DAYS = 30;

let proposedFor = "";

// Another day has another number and another end, unless those were typed.
function follow(date) {
  const was = proposedFor;
  proposedFor = date;
  if (!was || typed("number") === proposal(was)) field("number").value = proposal(date);
  if (!was || typed("until") === later(was, DAYS)) field("until").value = later(date, DAYS);
}

// What stands in its fields, the customer only if that is wished.
const OF_QUOTE = ["number", "date", "until", "film", "tax"];

function keepQuote() {
  const kept = Object.fromEntries(OF_QUOTE.map((name) => [name, field(name).value]));
  kept.lines = [...all("#lines .line")].map((line) => lineFields(line).map(({ value }) => value));
  kept.about = own.quote?.about;
  if (field("keep").checked) kept.customer = field("customer").value;
  own.quote = kept;
  own.contact = field("contact").value;
  keepOwn();
}

// What a quote is about: another one gets another number. In whole tenths of a millimetre, whatever the unit.
function about() {
  const { what, words, film } = report;
  const tenths = ({ value }) => Math.round(value * (TENTHS[film.unit] ?? 1));
  return [what, words, tenths(film.pieceWidth), tenths(film.pieceHeight)].join("\n");
}

const TENTHS = { in: 254, ft: 3048, yd: 9144, mm: 10, cm: 100, m: 10_000 };

// The number after the one in the field: of the day's own the next, of the maker's own one more where it ends in digits.
function nextNumber(day) {
  const before = typed("number");
  const [, start, digits] = /^(.*?)(\d+)$/u.exec(before) ?? [];
  const isOurs = /^\d{8}-\d+$/u.test(before);
  if (digits && !isOurs) return `${start}${`${BigInt(digits) + 1n}`.padStart(digits.length, "0")}`;
  const used = isOurs && before.startsWith(`${day.replaceAll("-", "")}-`) ? Number(digits) : 0;
  const counted = own.counted?.day === day ? own.counted.count : 0;
  own.counted = { day, count: Math.max(used, counted) + 1 };
  return proposal(day);
}

// A quote of today for nobody yet. Film, terms and the maker's own words stay.
function begin() {
  const now = today();
  const next = nextNumber(now);
  for (const name of ["customer", "tax"]) field(name).value = "";
  // The next customer may not want it.
  field("keep").checked = false;
  byId("lines").replaceChildren();
  field("number").value = next;
  field("date").value = now;
  field("until").value = later(now, DAYS);
  proposedFor = now;
  own.quote = { about: about() };
  keepQuote();
}

// The quote that was in hand, as it was left; a first one where there is none.
function resume() {
  const kept = own.quote;
  field("contact").value = textOr(own.contact, "");
  if (typeof kept?.number !== "string" || typeof kept.date !== "string") {
    if ((report.films ?? []).length === 1) field("film").value = textOr(report.films[0], "");
    return begin();
  }
  for (const name of OF_QUOTE) field(name).value = textOr(kept[name], "");
  field("keep").checked = typeof kept.customer === "string";
  field("customer").value = textOr(kept.customer, "");
  const lines = Array.isArray(kept.lines) ? kept.lines : [];
  for (const values of lines) if (Array.isArray(values)) addLine(values);
  proposedFor = kept.date;
}

// Another window of this page was typed in: both show the same, so that neither writes over the other.
function followOwn() {
  readOwn();
  if (!report) return;
  const [number, customer] = ["number", "customer"].map((name) => field(name).value);
  byId("lines").replaceChildren();
  resume();
  // What is not kept stays where it was typed, as long as the quote is the same.
  if (field("number").value === number && !field("keep").checked) field("customer").value = customer;
  fillWords();
  show();
}

function showAbout() {
  const isOther = own.quote?.about !== about();
  inform("other-quote-text", isOther ? "other-quote" : "", { number: good.number });
  byId("other-quote").hidden = !isOther;
}

// Letter where that is the paper of the country or of the money, A4 elsewhere.
function usualPaper() {
  const region = navigator.language.split("-").at(-1).toUpperCase();
  const isLetter = ["US", "CA", "MX"].includes(region) || ["USD", "CAD", "MXN"].includes(report.sale.currency);
  return isLetter ? "letter" : "a4";
}

function fillChoices() {
  const chosen = (name, values, usual) => {
    const now = typed(name) || own[name];
    return values.includes(now) ? now : usual;
  };
  const surfaces = SURFACES.map((name) => [name, screen.say(`surface-${name}`)]);
  const shares = SHARES.map((share) => [share, new Intl.NumberFormat(screen.tag).format(share)]);
  const usual = report.glass === "outside" || report.glass === "inside" ? report.glass : "paint";
  fill(byId("surface"), surfaces, chosen("surface", SURFACES, usual));
  fill(byId("share"), shares, chosen("share", SHARES, "2"));
  fillLanguages(byId("tongue"), paper.language);
}

function show() {
  readFields();
  const letter = typed("paper") === "letter";
  document.documentElement.dataset.paper = typed("paper");
  byId("size-letter").sheet.disabled = !letter;
  byId("size-a4").sheet.disabled = letter;
  for (const name of ["quote", "card"]) byId(`of-${name}`).hidden = !field(name).checked;
  byId("of-order").hidden = !field("quote").checked && !field("ticket").checked;
  showAbout();
  byId("sheets").replaceChildren();
  tables.clear();
  if (field("quote").checked) quote();
  if (field("ticket").checked) ticket();
  if (field("card").checked) cards();
  offerCopies();
  byId("blocked").textContent = report.design?.blocked ? screen.say("blocked", { design: report.design.name }) : "";
  byId("blocked").hidden = !report.design?.blocked;
}

// A sheet is as wide on the screen as there is room for, and no wider than on paper.
function fit() {
  const [frame] = all(".frame");
  if (!frame) return;
  const scale = Math.min(1, byId("sheets").clientWidth / frame.firstChild.offsetWidth);
  document.documentElement.style.setProperty("--scale", scale.toFixed(4));
}

function speak(language) {
  screen = new Tongue(language);
  screen.fill(document);
  fillLanguages(byId("language"), screen.language);
  document.title = screen.say("page-title");
}

function problem(message) {
  byId("papers").hidden = true;
  byId("problem").hidden = false;
  for (const place of all("[data-text=problem]")) place.textContent = screen.say(message);
}

// Whether it is what the maker's page of this version tells; whatever else is kept there is not shown.
function isReport(told) {
  const { version, day, sale, film } = told ?? {};
  const texts = [day, sale?.currency, sale?.price, sale?.total, film?.pieceWidth?.text, film?.pieceHeight?.text, film?.width?.text];
  const isMoney = [sale?.price, sale?.total].every((text) => /^\d+(\.\d+)?$/u.test(text)) && Number.isInteger(sale.decimals);
  return version === VERSION && isMoney && texts.every((text) => typeof text === "string") && Array.isArray(film.picture) && Array.isArray(sale.supplies);
}

function open() {
  let found;
  try {
    found = told();
  } catch {
    return problem("bad-data");
  }
  if (!found) return problem("no-data");
  if (!isReport(found)) return problem("bad-data");
  const isFirst = !report;
  report = found;
  byId("problem").hidden = true;
  byId("papers").hidden = false;
  try {
    if (isFirst) {
      field("paper").value = ["letter", "a4"].includes(own.paper) ? own.paper : usualPaper();
      resume();
    }
    fillChoices();
    const films = (report.films ?? []).filter((name) => typeof name === "string" && name);
    byId("films").replaceChildren(...films.map((name) => new Option(name, name)));
    if (isFirst) fillWords();
    show();
    fit();
  } catch (error) {
    console.error(error);
    problem("bad-data");
  }
}

function watch() {
  form.addEventListener("submit", (event) => event.preventDefault());
  const taken = ({ type, target }) => {
    const { name } = target;
    // A list tells of a choice once by each event.
    if (type === (target.matches("select") ? "input" : "change")) return;
    if (name === "date" && isDay(typed("date"))) follow(typed("date"));
    if (["paper", "share", "surface", "tongue"].includes(name)) own[name] = typed(name);
    if (name === "tongue") paper = new Tongue(typed("tongue"));
    if (name === "tongue" || name === "surface") fillWords();
    if (name === "terms" || PARTS.includes(name)) keepWords(name);
    // Whoever types a number means it for what is in hand.
    if (name === "number") own.quote.about = about();
    keepQuote();
    show();
    if (name === "paper") fit();
  };
  form.addEventListener("input", taken);
  form.addEventListener("change", taken);
  for (const button of all("[data-restore]")) button.addEventListener("click", () => restore(button.dataset.restore));
  byId("begin").addEventListener("click", () => {
    begin();
    show();
  });
  byId("go-on").addEventListener("click", () => {
    own.quote.about = about();
    keepOwn();
    show();
  });
  byId("clear-customer").addEventListener("click", () => {
    field("customer").value = "";
    field("keep").checked = false;
    keepQuote();
    show();
  });
  byId("add-line").addEventListener("click", () => lineFields(addLine())[0].focus());
  byId("language").addEventListener("change", ({ target: { value } }) => {
    speak(value);
    own.screen = value;
    keepOwn();
    if (report) fillChoices();
    if (report) show();
    else open();
  });
  byId("print").addEventListener("click", () => print());
  addEventListener("resize", fit);
  // The maker went on on the other page.
  addEventListener("storage", ({ key }) => {
    if (key === TOLD) open();
    if (key === OWN) followOwn();
  });
}

readOwn();
speak(own.screen);
paper = new Tongue(own.tongue ?? own.screen);
watch();
open();
