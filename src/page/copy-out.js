// Tables as text and CSV, pictures as SVG and PNG: a row of buttons below each. Loaded when it is first asked for; nothing
// that it makes leaves the device.
//
// The build puts src/copied.js before it (xtask/src/finish.rs).

const CURRENCY = "[data-money]";

// What is no table, but is read as one: where it stands, its rows, its columns' heads, and how a row is divided.
const LISTS = [
  {
    at: "#artwork .checks",
    title: say("Checks"),
    row: ":scope > li",
    heads: [say("Check"), say("Passed"), say("Found")],
    cells: (row) => {
      const rest = [...row.childNodes].filter((node) => !/^(?:strong|b)$/iu.test(node.nodeName));
      return [shown(row.querySelector("strong")), row.querySelector("b:not([hidden])")?.textContent === "✓" ? say("yes") : say("no"), join(rest)];
    },
  },
  { at: ".cuts", title: say("Cuts in their order"), row: ":scope > li", heads: [say("Cut")], cells: (row) => [shown(row)] },
  {
    at: "#time ul[data-answer=time]",
    title: say("What each step takes"),
    row: ":scope > li",
    heads: [say("Step"), say("Takes")],
    cells: (row) => [shown(row.querySelector("strong")), after(row, "strong")],
  },
  {
    at: "#post div[data-answer=post]",
    title: say("Classes, from the cheapest up"),
    row: ":scope > .film",
    heads: [say("Class"), say("As it is"), say("Price"), say("What is in the way")],
    cells: (row) => {
      const told = row.firstElementChild;
      const reasons = [...row.querySelectorAll(":scope > :not(:first-child) :is(li, p)")];
      return [
        shown(told.querySelector("strong")),
        after(told, "strong", CURRENCY),
        cellOf([...told.querySelectorAll(CURRENCY)].find(isSeen)),
        reasons.filter(isSeen).map(shown).join("; "),
      ];
    },
    place: (host, line) => host.querySelector(":scope > .caution").before(line),
  },
];
// What stands in a table without heads.
const HEADS = [say("What"), say("So it is")];
// Colours of what only the page's style sheet colours, as src/decal.rs and src/material/drawing.rs have them on paper.
const SILHOUETTE = "#24516b";

// ---- What is there ---------------------------------------------------------------------------------------------------

const one = (text) => text.replaceAll(/\s+/gu, " ").trim();

const isSeen = (element) => !element.closest("[hidden]");
const isHidden = (element) => element.hidden || getComputedStyle(element).display === "none";

// The text that a part shows, without what is left out of it; nothing is taken of what is not shown.
function textIn(node, leftOut) {
  if (node.nodeType === Node.TEXT_NODE) return node.data;
  if (node.nodeType !== Node.ELEMENT_NODE || node.matches("template,button,svg,script")) return "";
  if ((leftOut && node.matches(leftOut)) || isHidden(node)) return "";
  return [...node.childNodes].map((child) => textIn(child, leftOut)).join("");
}

const join = (nodes, leftOut) => one(nodes.map((node) => textIn(node, leftOut)).join(""));
const shown = (element) => (element ? join([...element.childNodes]) : "");
// What follows the first such element, without the colon between the two.
const after = (row, selector, leftOut) => {
  const nodes = [...row.childNodes];
  return join(nodes.slice(nodes.indexOf(row.querySelector(selector)) + 1), leftOut).replace(/^[:,]\s*/u, "");
};

// A cell: its text, its notes in small letters, and whether it is an amount.
function cellOf(cell) {
  if (!cell || isHidden(cell)) return { text: "", notes: [], isMoney: false };
  const notes = [...cell.querySelectorAll("small")].filter((note) => !isHidden(note)).map(shown);
  const text = one(textIn(cell, "small"));
  const amounts = [cell, ...cell.querySelectorAll(CURRENCY)];
  const isMoney = text !== "" && amounts.some((place) => place.matches(CURRENCY) && !place.closest("small"));
  return { text, notes: notes.filter(Boolean), isMoney };
}

// A table as its heads and rows of cells. A column that is not shown is not there, nor is an empty one.
function tableOf(table) {
  const heads = [...(table.tHead?.rows[0]?.cells ?? [])];
  const lines = [...table.rows].filter((line) => line.parentNode !== table.tHead && !isHidden(line));
  const cells = lines.map((line) => [...line.cells].map(cellOf));
  const wide = Math.max(heads.length, ...cells.map((line) => line.length));
  const columns = Array.from({ length: wide }, (_, at) => at).filter((at) => {
    if (heads[at] && isHidden(heads[at])) return false;
    return cells.some((line) => line[at]?.text || line[at]?.notes.length);
  });
  const names = columns.map((at) => (heads.length ? shown(heads[at]) : (HEADS[at] ?? "")));
  return { names, rows: cells.map((line) => columns.map((at) => line[at] ?? cellOf())) };
}

function listOf(host, { row, heads, cells }) {
  const rows = [...host.querySelectorAll(row)].filter((line) => !isHidden(line));
  const cell = (found) => (typeof found === "string" ? { text: found, notes: [] } : found);
  return { names: heads, rows: rows.map((line) => cells(line).map(cell)) };
}

// The heads of the columns; one of amounts names their currency, for many have the same sign.
function headsOf({ names, rows }) {
  const currency = document.getElementById("currency").value;
  return names.map((name, at) => (rows.some((cells) => cells[at].isMoney) ? `${name} (${currency})` : name));
}

// The notes of a column stand in a column of their own, so that a figure stays alone in its cell.
function linesOf({ names, rows }) {
  const hasNotes = names.map((_, at) => rows.some((cells) => cells[at].notes.length));
  const spread = (cells, cell, note) => cells.flatMap((text, at) => (hasNotes[at] ? [cell(text), note(text)] : [cell(text)]));
  return [
    spread(headsOf({ names, rows }).map((head, at) => [head, names[at]]), ([head]) => head, ([, name]) => `${name}: note`),
    ...rows.map((cells) => spread(cells, ({ text }) => text, ({ notes }) => notes.join("; "))),
  ];
}

// Columns under each other by spaces, figures to the right; notes below their row.
function textOf(title, { names, rows }) {
  const heads = headsOf({ names, rows });
  const long = (text) => [...text].length;
  const columns = heads.map((head, at) => {
    const texts = rows.map((cells) => cells[at].text);
    const toTheRight = at > 0 && texts.every((text) => long(text) < 20 && /^(?:$|[-+]?\P{L}?\d)/u.test(text));
    return { wide: Math.max(...[head, ...texts].map(long)), toTheRight };
  });
  const line = (texts) => {
    const cells = texts.map((text, at) => {
      const blank = " ".repeat(columns[at].wide - long(text));
      return columns[at].toTheRight ? blank + text : text + blank;
    });
    return cells.join("   ").trimEnd();
  };
  const rule = columns.map(({ wide }) => "-".repeat(wide)).join("   ");
  const below = (cells) => cells.flatMap(({ notes }, at) => notes.map((note) => (at ? `    ${names[at]}: ${note}` : `    ${note}`)));
  const body = rows.flatMap((cells) => [line(cells.map(({ text }) => text)), ...below(cells)]);
  return [title, "", line(heads), rule, ...body, ""].join("\n");
}

// A picture as it would be on white paper: by its own colours, which the page's style sheet overrules on a screen.
function pictureOf(svg) {
  const picture = svg.cloneNode(true);
  const copies = picture.querySelectorAll("*");
  for (const [at, part] of svg.querySelectorAll("*").entries()) {
    const isDrawn = !part.closest("defs,filter,clipPath,mask,marker,pattern");
    if (isDrawn && isHidden(part)) copies[at].remove();
  }
  const outline = document.getElementById("silhouette");
  const silhouettes = picture.querySelectorAll(".silhouette");
  for (const use of silhouettes) {
    use.setAttribute("fill", SILHOUETTE);
    if (svg.querySelector(".piece")) use.setAttribute("opacity", "0.45");
  }
  if (silhouettes.length) {
    const defs = document.createElementNS(svg.namespaceURI, "defs");
    defs.append(outline.cloneNode());
    picture.prepend(defs);
  }
  const [x, y, width, height] = svg.getAttribute("viewBox").split(" ");
  const paper = document.createElementNS(svg.namespaceURI, "rect");
  for (const [name, value] of Object.entries({ x, y, width, height, fill: "#fff" })) paper.setAttribute(name, value);
  picture.prepend(paper);
  for (const [side, value] of Object.entries({ width, height })) {
    // On the page an em of what has its true size is a centimetre.
    const own = svg.getAttribute(side)?.replace(/em$/u, "cm");
    picture.setAttribute(side, own && !own.endsWith("%") ? own : value);
  }
  if (!svg.hasAttribute("font-family")) picture.setAttribute("font-family", "system-ui, sans-serif");
  return picture;
}

// A picture 800 pixels wide, with two dots a pixel, and no larger than a canvas may be.
async function dotsOf(svg) {
  const { width, height } = svg.viewBox.baseVal;
  const dots = Math.min((2 * 800) / width, 16_000 / height, Math.sqrt(16e6 / (width * height)));
  return pngOf(pictureOf(svg), width * dots, height * dots);
}

// ---- What it is called -----------------------------------------------------------------------------------------------

// What stands nearest above it within its part of the page.
function headingOf(host) {
  const section = host.closest("section");
  const above = [...section.querySelectorAll("h2,h3,h4")].filter(
    (heading) => heading.compareDocumentPosition(host) & Node.DOCUMENT_POSITION_FOLLOWING,
  );
  return above.at(-1);
}

function titleOf(host, own) {
  const section = shown(host.closest("section").querySelector("h2"));
  const layout = host.closest(".layout")?.querySelector("h4");
  const summary = host.closest("details")?.querySelector("summary");
  const step = host.previousElementSibling?.matches("p") && host.previousElementSibling.querySelector("strong:first-child");
  // The picture of a whole section stands beside what is below its headings.
  const heading = host.closest("section > figure") ? null : headingOf(host);
  const near = summary && !host.closest("details").contains(heading) ? summary : heading;
  const old = host.closest("[data-old]") && say("old answer");
  const parts = [section, layout && shown(layout), own || (near && shown(near)), !own && step && shown(step), old];
  return [...new Set(parts.filter(Boolean))].join(": ");
}

// Two pictures are the same thing to different eyes: what stands above each says to which.
const eyesOf = (host) => host.matches(".eyes") && shown(host.previousElementSibling).split(/[:,] /u)[0];

const slug = (text, most) => {
  const words = text.normalize().split(/[^\p{L}\p{N}]+/u).filter(Boolean);
  const kept = words.reduce((name, word) => (name.length + word.length < most ? `${name}-${word}` : name), "").slice(1);
  return kept || (words[0] ?? "").slice(0, most);
};

function fileName(title, kind) {
  const words = document.getElementById("decal.lettering").value;
  return `${[slug(title.toLowerCase(), 70), slug(words, 40)].filter(Boolean).join("-")}.${kind}`;
}

// ---- The buttons -----------------------------------------------------------------------------------------------------

function made(tag, members, ...children) {
  const element = Object.assign(document.createElement(tag), members);
  element.append(...children);
  return element;
}

// What the browser does not let the page copy is selected for whoever is asking.
function offerText(text) {
  const field = made("textarea", { rows: 10, readOnly: true, value: text, ariaLabel: say("Text to copy") });
  Object.assign(field.style, { width: "100%", whiteSpace: "pre", font: "0.9rem/1.4 ui-monospace, monospace" });
  const dialog = made(
    "dialog",
    { ariaLabel: say("Copy by hand") },
    made("p", { textContent: say("This browser does not let the page copy. The text is selected: copy it by hand.") }),
    field,
    made("form", { method: "dialog" }, made("button", { className: "quiet", textContent: say("Close") })),
  );
  dialog.style.width = "min(60rem, 100%)";
  dialog.style.maxWidth = "calc(100% - 1rem)";
  dialog.addEventListener("close", () => dialog.remove());
  document.body.append(dialog);
  dialog.showModal();
  field.focus();
  field.select();
}

async function copy(text, tell) {
  try {
    await navigator.clipboard.writeText(text);
    tell(say("Copied"));
  } catch {
    offerText(text);
  }
}

// What can be done with a table, or with a picture.
const FOR_TABLES = [
  [say("Copy as text"), (read, title, tell) => copy(textOf(title, read()), tell)],
  [say("Save as CSV"), (read, title) => save(csvOf(linesOf(read())), fileName(title, "csv"), "text/csv;charset=utf-8")],
];
const FOR_PICTURES = [
  [say("Save as SVG"), (read, title) => save(svgText(pictureOf(read())), fileName(title, "svg"), "image/svg+xml")],
  [
    say("Save as PNG"),
    async (read, title, tell) => {
      try {
        save(await dotsOf(read()), fileName(title, "png"), "image/png");
      } catch {
        tell(say("This browser could not draw it"));
      }
    },
  ],
];

// The rows of buttons by what they belong to. Their titles are those of the moment in which they are pressed.
const lines = new Map();

function lineFor({ host, title, read, acts, place }) {
  const said = made("span", { role: "status" });
  const tell = (text) => {
    // The same words again are said again.
    said.textContent = "";
    setTimeout(() => (said.textContent = text), 50);
  };
  const buttons = acts.map(([label, act]) => {
    const button = made("button", { type: "button", className: "quiet", textContent: label, ariaLabel: `${label}: ${title()}` });
    button.addEventListener("click", () => act(read, title(), tell));
    return button;
  });
  const line = made("p", { className: "screen copy-out" }, ...buttons, said);
  Object.assign(line.style, { margin: "0.3rem 0 0.6rem", fontSize: "0.9rem" });
  if (host.closest("figure")) line.style.paddingInline = "1rem";
  place(line);
  return line;
}

const hasText = ({ rows }) => rows.some((cells) => cells.some(({ text }) => text));

// Every table and picture that shows something.
function* things() {
  const isThere = (host) => !host.closest("[hidden],[data-empty]");
  for (const table of document.querySelectorAll("main table")) {
    const read = () => tableOf(table);
    if (!isThere(table) || !hasText(read())) continue;
    const outer = table.closest(".scroll") ?? table;
    yield { host: table, title: () => titleOf(table, shown(table.caption)), read, acts: FOR_TABLES, place: (line) => outer.after(line) };
  }
  for (const list of LISTS) {
    for (const host of document.querySelectorAll(`main ${list.at}`)) {
      const read = () => listOf(host, list);
      if (!isThere(host) || !hasText(read())) continue;
      yield { host, title: () => titleOf(host, list.title), read, acts: FOR_TABLES, place: (line) => (list.place ? list.place(host, line) : host.after(line)) };
    }
  }
  for (const svg of document.querySelectorAll("main :is([data-draw],[data-picture]) > svg")) {
    const host = svg.parentNode;
    if (!isThere(host) || host.closest("li,button,label")) continue;
    const figure = host.closest("figure");
    const read = () => host.querySelector("svg");
    yield { host, title: () => `${titleOf(host, host.ariaLabel ?? eyesOf(host))}: ${say("picture")}`, read, acts: FOR_PICTURES, place: (line) => (figure ? figure.append(line) : host.after(line)) };
  }
}

function paint() {
  const gone = new Set(lines.keys());
  for (const thing of things()) {
    gone.delete(thing.host);
    if (!lines.get(thing.host)?.isConnected) lines.set(thing.host, lineFor(thing));
  }
  for (const host of gone) {
    lines.get(host).remove();
    lines.delete(host);
  }
}

let waiting;
const watch = new MutationObserver(() => {
  clearTimeout(waiting);
  waiting = setTimeout(paint, 100);
});

// Offers them, or takes the buttons away again.
export function act(button) {
  const isOffered = button.ariaPressed === "true";
  button.ariaPressed = String(!isOffered);
  const said = button.parentNode.querySelector("[role=status]") ?? made("span", { role: "status" });
  button.parentNode.append(said);
  clearTimeout(waiting);
  watch.disconnect();
  if (isOffered) {
    for (const line of lines.values()) line.remove();
    lines.clear();
  } else {
    paint();
    watch.observe(document.querySelector("main"), { childList: true, subtree: true, attributes: true, attributeFilter: ["hidden", "data-empty"] });
  }
  said.textContent = isOffered ? "" : say("There are buttons below every table and picture now.");
  button.scrollIntoView({ block: "nearest" });
}
