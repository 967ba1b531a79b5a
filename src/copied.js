// What the maker's page, the papers and the customers' page have in common: tables and pictures as files.
//
// The build puts this before the scripts of the pages that stand alone (xtask/src/shop.rs) and before src/page/copy-out.js
// (xtask/src/finish.rs).

// What begins so may be a formula for a spreadsheet program, which would reckon with it. An apostrophe before it makes it
// a text, unless it is a plain number: OWASP, "CSV Injection" (from memory).
const FORMULA = /^[=+\-@\t\r\n＝＋－＠]/u;
const NUMBER = /^[+-]?\p{Sc}?\d[\d., ]*(?:%|\p{Sc})?$/u;

function csvCell(text) {
  const safe = FORMULA.test(text) && !NUMBER.test(text) ? `'${text}` : text;
  return /[",;\t\r\n]/u.test(safe) ? `"${safe.replaceAll('"', '""')}"` : safe;
}

// RFC 4180: a header, lines end in CR LF, and what holds a comma, a quote or a new line stands in quotes. The mark of
// UTF-8 before it has spreadsheet programs read a £ or a × as one.
const csvOf = (lines) => `\ufeff${lines.map((cells) => `${cells.map(csvCell).join(",")}\r\n`).join("")}`;

// A cell is a text, or an object: its `text`, or its `lines`, the bare `value` for a file, and how many columns it spans.
function plain(cell, bare) {
  if (typeof cell === "string") return [cell];
  const text = (bare && cell.value) || cell.lines?.join("\n") || cell.text || "";
  return [text, ...Array.from({ length: (cell.span ?? 1) - 1 }, () => "")];
}

// Cells divided by tabs, for a mail or a sheet of figures.
function asText({ columns, rows }) {
  const lines = [columns, ...rows.map(({ cells }) => cells)];
  const flat = (cell) => plain(cell, false).map((text) => text.replaceAll(/\s*\n\s*/gu, " / "));
  return lines.map((cells) => cells.flatMap(flat).join("\t")).join("\n");
}

// Amounts are bare.
function asCsv({ columns, rows }) {
  const lines = [columns, ...rows.map(({ cells }) => cells)];
  return csvOf(lines.map((cells) => cells.flatMap((cell) => plain(cell, true))));
}

function save(content, name, type) {
  const address = URL.createObjectURL(content instanceof Blob ? content : new Blob([content], { type }));
  Object.assign(document.createElement("a"), { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

// The text of an SVG file. Characters that XML forbids, and halves of characters, are left out.
function svgText(picture) {
  const text = new XMLSerializer().serializeToString(picture);
  return text.replaceAll(/[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\u{10000}-\u{10ffff}]/gu, "");
}

// A picture on white paper, so many dots wide and high.
async function pngOf(picture, width, height) {
  const canvas = Object.assign(document.createElement("canvas"), { width: Math.round(width), height: Math.round(height) });
  const image = new Image();
  image.src = `data:image/svg+xml;charset=utf-8,${encodeURIComponent(svgText(picture))}`;
  await image.decode();
  const pen = canvas.getContext("2d");
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, canvas.width, canvas.height);
  pen.drawImage(image, 0, 0, canvas.width, canvas.height);
  return new Promise((resolve, refuse) => canvas.toBlob((file) => (file ? resolve(file) : refuse(new Error("no picture"))), "image/png"));
}

// The same of a picture drawn in millimetres: at 300 dots an inch, or fewer where it would be larger than a canvas may be.
function printedPng(picture) {
  const { width, height } = picture.viewBox.baseVal;
  const dots = Math.min(300 / 25.4, 4000 / Math.max(width, height));
  return pngOf(picture, width * dots, height * dots);
}
