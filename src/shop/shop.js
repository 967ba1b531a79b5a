// The customers' page. It shows what the core answers from the rate card, in the reader's language, and keeps nothing.
//
// The build puts src/words.js and src/copied.js before it and fills in the next line (xtask/src/shop.rs): the core's module.
const CORE = "unbuilt";

// ---- The frame, if the page is shown in one --------------------------------------------------------------------------

// An element of another page that shows this one says in the address which of its frames this is, and of which origin it
// is itself (public/decal-quote.js). Nothing is heard from anybody else, and nothing is told to anybody else.
const address = new URLSearchParams(location.hash.slice(1));
const host = address.get("host");
const framed = parent !== globalThis && address.has("frame") && (host === "null" || isOrigin(host));
const frame = framed ? address.get("frame") : null;

function isOrigin(text) {
  return URL.canParse(text) && new URL(text).origin === text;
}

function tell(type, more) {
  // A page without an origin of its own, such as one from a file, cannot be told from others by it.
  if (frame !== null) parent.postMessage({ decalQuote: 1, frame, type, ...more }, host === "null" ? "*" : host);
}

function isFromHost(event) {
  const { data } = event;
  return event.source === parent && event.origin === host && data?.decalQuote === 1 && data.frame === frame;
}

// What the host says before anything is shown: a card, colours, a language.
function hostsWishes() {
  return new Promise((resolve) => {
    addEventListener("message", (event) => {
      if (!isFromHost(event)) return;
      const { type, ...wishes } = event.data;
      if (type === "start") resolve(wishes);
      if (type === "theme") paint(wishes.theme);
      if (type === "language") speak(wishes.language);
    });
    tell("ready");
  });
}

const COLOURS = ["ink", "paper", "sheet", "soft", "rule", "accent", "alarm"];
const FACES = ["figures", "text"];

function paint(theme) {
  const given = {};
  for (const [name, value] of Object.entries(theme ?? {})) {
    const property = COLOURS.includes(name) ? "color" : FACES.includes(name) && "font-family";
    if (property && typeof value === "string" && CSS.supports(property, value)) given[name] = value;
  }
  // What is told stands at the root, and what follows from it below.
  dress(document.documentElement, given);
  dress(document.body, derived(given));
}

function dress(element, tokens) {
  for (const name of [...COLOURS, ...FACES]) {
    if (tokens[name]) element.style.setProperty(`--${name}`, tokens[name]);
    else element.style.removeProperty(`--${name}`);
  }
}

// Dark and light ink and paper of this page's own, for a shop that names only one of the two.
const DARK = "#12191d";
const LIGHT = "#f7f3e8";

// The colours that a shop leaves away go with those that it names: else its paper would have this page's fields on it, or
// a dark device's ink. Ink and ground decide; a shop that names neither keeps this page's own.
function derived(given) {
  const ground = given.paper ?? given.sheet;
  document.body.style.colorScheme = "";
  if (!ground && !given.ink) return {};
  const isLight = ground ? lightness(ground) > MIDDLE : lightness(given.ink) <= MIDDLE;
  document.body.style.colorScheme = isLight ? "light" : "dark";
  const ink = given.ink ?? (isLight ? DARK : LIGHT);
  const paper = ground ?? (isLight ? LIGHT : DARK);
  const mixed = (share) => `color-mix(in srgb, ${ink} ${share}%, ${paper})`;
  const all = {
    ink,
    paper,
    sheet: isLight ? `color-mix(in srgb, white 45%, ${paper})` : mixed(8),
    soft: mixed(78),
    rule: mixed(28),
    accent: ink,
    alarm: isLight ? "#a3301c" : "#ff9d85",
  };
  return Object.fromEntries(Object.entries(all).filter(([name]) => !given[name]));
}

// The luminance of WCAG 2.2 at which black and white stand out alike: (L + 0.05)² = 0.05 × 1.05.
const MIDDLE = Math.sqrt(0.05 * 1.05) - 0.05;

function lightness(colour) {
  const pen = Object.assign(document.createElement("canvas"), { width: 1, height: 1 }).getContext("2d");
  pen.fillStyle = colour;
  pen.fillRect(0, 0, 1, 1);
  const linear = (part) => (part <= 0.04045 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4);
  const [red, green, blue] = [...pen.getImageData(0, 0, 1, 1).data].map((part) => linear(part / 255));
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}

// ---- Words -----------------------------------------------------------------------------------------------------------

let tongue;

function speak(wanted) {
  const next = new Tongue(wanted);
  if (next.tag === tongue?.tag) return;
  tongue = next;
  tongue.fill(document);
  fillLanguages(byId("language"), tongue.language);
  if (card) {
    fillUnits();
    show();
  }
}

const say = (message, values) => tongue.say(message, values);
const amount = (text) => tongue.amount(text, report);
const day = (text) => tongue.day(text);
// To 0.01 in, and 0.1 mm: nobody cuts or measures finer.
const FINEST = { mm: 1 };
const long = (text) => tongue.long(text, { maximumFractionDigits: FINEST[text.split(" ").at(-1)] ?? 2 });
// How far it reads is said in words: there is no field for it that would name the unit.
const far = (text) => tongue.long(text, { unitDisplay: "long" });

function size(width, height) {
  return say("size-text", { width: long(width.text), height: long(height.text) });
}

// ---- The core --------------------------------------------------------------------------------------------------------

async function load() {
  const text = atob(CORE);
  const bytes = Uint8Array.from(text, (letter) => letter.charCodeAt(0));
  await wasm_bindgen({ module_or_path: bytes });
}

function core(task, input, label) {
  let told;
  wasm_bindgen.reckon(task, input, label ?? "", (said) => (told = said));
  return told;
}

// ---- The card --------------------------------------------------------------------------------------------------------

let card;
let report;

const CARD = "rate-card.json";
// Whether the address of this page leads to its card again: none leads to a file, nor to what only the host has.
let leadsBack = /^https?:$/u.test(location.protocol);

// A card comes from the host, is named in the address, stands in the page itself, or lies beside the page.
async function cardOf(wishes) {
  if (wishes.card !== undefined) {
    leadsBack = false;
    return wishes.card;
  }
  const own = byId("rate-card").textContent.trim();
  const named = new URLSearchParams(location.search).get("card");
  if (own && named === null) return parsed(own);
  // Beside the page, and nowhere else.
  const name = named ?? CARD;
  if (!/^[\w-][\w.-]*\.json$/u.test(name)) throw new Problem("no-card", "no-card-hint");
  let response;
  try {
    response = await fetch(new URL(name, location.href), { cache: "no-cache", credentials: "omit" });
  } catch {
    throw new Problem("card-unreachable", null, true);
  }
  if (response.status === 404) throw new Problem("no-card", "no-card-hint");
  if (!response.ok) throw new Problem("card-unreachable", null, true);
  return parsed(await response.text());
}

function parsed(text) {
  try {
    return JSON.parse(text);
  } catch {
    throw new Problem("card-bad");
  }
}

class Problem extends Error {
  constructor(message, more, again) {
    super(message);
    Object.assign(this, { more, again });
  }
}

function showProblem({ message, more, again, field }) {
  byId("loading").hidden = true;
  byId("shop").hidden = true;
  byId("problem").hidden = false;
  put("problem", say(message));
  put("problem-more", field ? say("card-problem", { field }) : more ? say(more) : "");
  byId("again").hidden = !again;
  tell("problem", { problem: message });
}

function put(place, text) {
  for (const slot of all(`[data-text="${place}"]`)) {
    slot.textContent = text;
    slot.hidden = !text;
  }
}

// ---- Choices ---------------------------------------------------------------------------------------------------------

function fillUnits() {
  fill(byId("unit"), ["in", "cm", "mm"].map((unit) => [unit, say(`unit-${unit}`)]), byId("unit").value || report.unit);
}

function fillSizes() {
  const unit = byId("unit").value;
  const widths = report.widths.map((width) => core("ask", { card, width, unit, today: today() }).report);
  const buttons = widths.map((answer) => {
    const button = document.createElement("button");
    button.type = "button";
    button.value = answer.exact;
    button.textContent = long(answer.width.text);
    button.addEventListener("click", () => {
      take(answer);
      changed();
    });
    return button;
  });
  byId("steps").replaceChildren(...buttons);
  byId("width-hint").textContent = say("width-hint", { least: buttons[0].textContent, most: buttons.at(-1).textContent });
}

// A width as it stands in its field: in the unit beside it, that is left away, and perhaps rounded.
function take({ width, exact }) {
  const field = byId("width");
  field.value = width.text.replace(` ${byId("unit").value}`, "");
  field.dataset.exact = exact;
}

function fillFilms(chosen) {
  const films = report.films.map(({ name, colour }) => {
    const label = document.createElement("label");
    const input = Object.assign(document.createElement("input"), { type: "radio", name: "film", value: name, checked: name === chosen });
    label.append(input);
    if (colour) label.append(drawn(["svg", ["viewBox", "0 0 1 1", "aria-hidden", "true"], ["rect", ["width", "1", "height", "1", "fill", colour]]]));
    label.append(name);
    return label;
  });
  document.querySelector("#films .films").replaceChildren(...films);
}

const film = () => document.querySelector("[name=film]:checked")?.value;

function question() {
  return {
    card,
    unit: byId("unit").value,
    channel: byId("channel").value,
    film: film(),
    // What was not typed is known better than it is shown.
    width: byId("width").dataset.exact || byId("width").value,
    pieces: byId("pieces").value,
    words: byId("words").value,
    today: today(),
  };
}

// ---- The answer ------------------------------------------------------------------------------------------------------

const FIELDS = ["width", "pieces", "words"];
let last;

function changed() {
  byId("told").hidden = true;
  show();
}

// The answer to what stands in the fields. The core takes no number as one; here it is asked for.
function asked() {
  const told = core("ask", question());
  if (byId("pieces").value.trim()) return told;
  return { errors: [...(told.errors ?? []), { field: "pieces", code: "missing" }] };
}

function show() {
  const { report: answer, errors = [] } = asked();
  for (const name of FIELDS) {
    const error = errors.find(({ field }) => field === name);
    const place = byId(`${name}-error`);
    place.hidden = !error;
    place.textContent = error ? say(`mistake-${error.code}`) || say("mistake-other") : "";
    byId(name).toggleAttribute("aria-invalid", Boolean(error));
    if (error) byId(name).setAttribute("aria-invalid", "true");
  }
  for (const place of ["headline", "answer"]) byId(place).toggleAttribute("data-old", !answer);
  fillSizes();
  showCard();
  byId("said").textContent = "";
  byId("request").hidden = true;
  byId("taken").textContent = "";
  byId("taken-text").hidden = true;
  // Nothing is handed out but what is on the screen.
  last = answer;
  byId("ways").hidden = !answer;
  byId("no-ways").hidden = Boolean(answer);
  byId("taking").hidden = !answer || !hasPrices(answer);
  showLink(Boolean(answer) && !byId("link").hidden);
  if (!answer) return;
  for (const button of byId("steps").children) button.setAttribute("aria-pressed", button.value === answer.exact);
  showPicture(answer);
  showAnswer(answer);
  showCheaper(answer);
  showBreaks(answer);
  addressMail();
  tell("quote", { quote: quoteOf(answer) });
}

function showCard() {
  const { shop, design, note, edition, from, until, most } = report;
  document.title = say("page-title", { design, shop });
  put("design", design);
  put("by", say("by", { shop }));
  byId("pieces-hint").textContent = say("pieces-hint", { most });
  byId("words-hint").textContent = say(byId("words").value.trim() ? "words-hint" : "words-open");
  const dates = { from: day(from), until: until && day(until), edition: String(edition) };
  put("valid", say(until ? "valid-until" : "valid", dates));
  byId("note").textContent = note ?? "";
}

function showPicture(answer) {
  const told = { size: size(answer.width, answer.height), words: answer.words };
  const label = say(answer.words ? "picture-label-words" : "picture-label", told);
  byId("picture").replaceChildren(drawn(core("picture", question(), label).report));
}

function showAnswer(answer) {
  const priced = answer.asks.length === 0;
  const told = size(answer.width, answer.height);
  byId("priced").hidden = !priced;
  byId("to-ask").hidden = priced;
  put("headline", priced ? say("each", { price: amount(answer.price) }) : say("ask-lead"));
  if (priced) {
    put("size-and-film", say("size-and-film", { size: told, film: answer.film }));
    put("charged", answer.charged ? say("charged", { width: long(answer.charged.text) }) : "");
    document.querySelector(".sum tbody").replaceChildren(...sum(answer));
  } else {
    const widths = [...byId("steps").children].map((button) => button.textContent);
    const values = {
      from: day(report.from),
      until: report.until ? day(report.until) : "",
      today: day(today()),
      least: widths[0],
    };
    const reasons = answer.asks.map((reason) => {
      const most = reason === "tooMany" ? report.most : widths.at(-1);
      return Object.assign(document.createElement("li"), { textContent: say(`ask-${reason}`, { ...values, most }) });
    });
    document.querySelector("#to-ask ul").replaceChildren(...reasons);
  }
  const written = answer.letterHeight;
  const distance = answer.distance && far(answer.distance.text);
  put("reads", distance ? say("reads-from", { distance }) : written ? say("reads-not") : "");
  byId("reads-note").hidden = !distance;
  const { larger } = answer;
  byId("larger").hidden = !larger;
  if (larger) {
    const next = { size: size(larger.width, larger.height), more: amount(larger.more) };
    const reads = larger.distance && far(larger.distance.text);
    const same = Number(larger.more) === 0 ? "-same" : "";
    put("larger", say(reads ? `larger-reads${same}` : `larger${same}`, { ...next, distance: reads }));
    const button = byId("take-larger");
    button.onclick = () => {
      take(larger);
      changed();
    };
    button.textContent = say("take-larger", { width: long(larger.width.text) });
  }
}

function sum(answer) {
  const rows = [[say("items-row", { pieces: answer.pieces, price: amount(answer.price) }), amount(answer.items)]];
  if (answer.postage && Number(answer.postage) > 0) rows.push([say("postage-row"), amount(answer.postage)]);
  else if (answer.postage) rows.push([say("postage-free"), ""]);
  if (answer.taxKind === "added") rows.push([say("tax-added-row"), amount(answer.tax)]);
  rows.push([say("total-row"), amount(answer.total)]);
  if (answer.taxKind === "included") rows.splice(-1, 0, [say("tax-included-row"), amount(answer.tax)]);
  return rows.map(([name, value]) => row(name, value));
}

// Amounts are told with all decimals of their currency: without the point they are whole, and exact.
const whole = (text) => BigInt(text.replace(".", ""));

// From some number on the price of each falls so far that more pieces cost less.
function showCheaper({ breaks, pieces, total }) {
  byId("cheaper").hidden = true;
  if (!total) return;
  for (const { from } of breaks) {
    if (from <= pieces || from > report.most) continue;
    const { report: more } = core("ask", { ...question(), pieces: String(from) });
    if (!more?.total || whole(more.total) >= whole(total)) continue;
    put("cheaper", say("cheaper", { pieces: from, then: amount(more.total), now: amount(total) }));
    const button = byId("take-cheaper");
    button.textContent = say("take-pieces", { pieces: from });
    button.onclick = () => {
      byId("pieces").value = String(from);
      changed();
    };
    byId("cheaper").hidden = false;
    return;
  }
}

// Prices that are over, or not there yet, are none.
const areOver = ({ asks }) => asks.includes("expired") || asks.includes("notYet");

// A single price stands at the head of the page, unless the maker is to be asked.
const hasPrices = (answer) => !areOver(answer) && (answer.breaks.length > 1 || answer.asks.length === 0);

function showBreaks(answer) {
  const { breaks, asks } = answer;
  byId("breaks").hidden = areOver(answer) || breaks.length < 2;
  const rows = breaks.map(({ from, price, counts }) => {
    const shown = row(say("from-pieces", { from }), amount(price));
    if (counts && asks.length === 0) {
      shown.dataset.counts = "";
      const said = Object.assign(document.createElement("span"), { className: "unseen", textContent: say("this-counts") });
      shown.firstChild.append(" ", said);
    }
    return shown;
  });
  document.querySelector("#breaks tbody").replaceChildren(...rows);
}

// What a host is told: the customer's choices and the card's prices.
function quoteOf(answer) {
  const { edition, currency, channel, film, words, pieces, unit, price, items, postage, tax, taxKind, total, asks } = answer;
  const value = (length) => length && length.value;
  return {
    edition, currency, channel, film, words, pieces, unit, price, items, postage, tax, taxKind, total, asks,
    width: answer.width.value,
    height: answer.height.value,
    distance: value(answer.distance),
  };
}

// ---- Asking ----------------------------------------------------------------------------------------------------------

// The width in the customer's own words, where the unit in them is not that of the answer.
function ownWidth() {
  const field = byId("width");
  const typed = field.value.trim();
  const isOwn = !field.dataset.exact && UNIT.test(typed) && typed !== last.width.text;
  return isOwn ? typed : "";
}

function request() {
  const words = last.words.trim().split("\n").join(" / ");
  const own = ownWidth();
  const { postage, taxKind } = last;
  const values = {
    design: report.design,
    words: words || say(report.free ? "request-words-open" : "request-no-words"),
    size: size(last.width, last.height),
    said: own ? "own" : "as",
    width: own,
    film: last.film,
    pieces: last.pieces,
    price: last.price ? amount(last.price) : "",
    items: last.items ? amount(last.items) : "",
    posted: postage ? (whole(postage) > 0n ? "charged" : "free") : "none",
    postage: postage ? amount(postage) : "",
    taxed: taxKind,
    tax: last.tax ? amount(last.tax) : "",
    total: last.total ? amount(last.total) : "",
    channel: last.channel,
    edition: String(last.edition),
    from: day(report.from),
    today: day(today()),
  };
  const subject = say("request-subject", values);
  return { subject, text: say(last.asks.length ? "request-unpriced" : "request-priced", values) };
}

function tellRequest(by) {
  tell("request", { by, ...request(), quote: quoteOf(last) });
}

function watchAsking() {
  const mail = byId("mail");
  mail.hidden = !report.mail;
  // A frame shows nothing else.
  if (frame !== null) for (const link of [mail, byId("link-address")]) Object.assign(link, { target: "_blank", rel: "noopener" });
  mail.addEventListener("click", () => {
    addressMail();
    tellRequest("mail");
  });
  byId("copy").addEventListener("click", () => {
    const { text } = request();
    tellRequest("copy");
    const place = byId("request");
    place.value = text;
    place.hidden = false;
    copy(text, () => {
      place.focus();
      place.select();
    });
  });
  byId("copy-link").addEventListener("click", () => {
    const place = byId("link-address");
    copy(place.textContent, () => getSelection().selectAllChildren(place));
  });
  const share = byId("share");
  share.hidden = !navigator.share;
  share.addEventListener("click", async () => {
    const { subject, text } = request();
    tellRequest("share");
    // Whoever closes the sheet without sending has changed their mind.
    await navigator.share({ title: subject, text }).catch(() => {});
  });
  byId("save").addEventListener("click", () => {
    const { text } = request();
    tellRequest("save");
    save(`${text}\n`, "decal.txt", "text/plain");
  });
  const button = byId("show-link");
  button.hidden = !leadsBack;
  button.addEventListener("click", () => showLink(byId("link").hidden));
}

// It says at any time what is on the screen, for whoever opens or copies it without a click.
function addressMail() {
  if (!report.mail) return;
  const { subject, text } = request();
  const body = text.split("\n").join("\r\n");
  byId("mail").href = `mailto:${report.mail}?subject=${encodeURIComponent(subject)}&body=${encodeURIComponent(body)}`;
}

// Copies a text, or marks it for whoever must copy it by hand.
async function copy(text, mark, said = byId("said")) {
  try {
    await navigator.clipboard.writeText(text);
    said.textContent = say("copied");
  } catch {
    said.textContent = say("copy-by-hand");
    mark();
  }
}

function showLink(shown) {
  byId("link").hidden = !shown;
  byId("show-link").setAttribute("aria-expanded", String(shown));
  if (!shown) return;
  const { report: link, errors } = core("link", question());
  const place = byId("link-address");
  byId("code").replaceChildren();
  place.textContent = "";
  byId("link-text").hidden = Boolean(errors);
  put("link-long", errors ? say("link-too-long") : "");
  if (errors) return;
  // Whoever opens it reads what its sender did. The language is no part of the quote and stands before the `#`.
  const address = new URL(`${location.pathname}${location.search}`, location.origin);
  address.searchParams.set("language", tongue.language);
  address.hash = link;
  place.href = address.href;
  place.textContent = address.href;
  const { report: code } = core("code", address.href, say("code-label"));
  if (code) byId("code").append(drawn(code));
}

// ---- The prices and the picture elsewhere ----------------------------------------------------------------------------

// Not every sheet of figures takes `2 3/8` for a number. Such fractions are of halves of halves, and end.
function inDecimals(text) {
  const [, whole, part, of] = /^(?:(\d+) )?(\d+)\/(\d+)$/u.exec(text) ?? [];
  return of ? String(Number(whole ?? 0) + part / of) : text;
}

// The prices by quantity. Each line says what it is the price of, for it may come to stand among those of other sheets.
function pricesTable() {
  const { unit, currency, channel, width, height, charged, breaks } = last;
  const { shop, design, edition, from, until } = report;
  const length = ({ text }) => ({ text: long(text), value: inDecimals(text.replace(` ${unit}`, "")) });
  const date = (told) => ({ text: day(told), value: told });
  const about = [
    [say("take-shop"), shop],
    [say("take-design"), design],
    [say("take-width", { unit }), length(width)],
    [say("take-height", { unit }), length(height)],
    ...(charged ? [[say("take-charged", { unit }), length(charged)]] : []),
    [say("film"), last.film],
    [say("channel"), channel],
  ];
  const validity = [
    [say("take-tax"), say("take-tax-kind", { taxed: last.taxKind })],
    [say("take-edition"), String(edition)],
    [say("take-since"), date(from)],
    ...(until ? [[say("take-until"), date(until)]] : []),
  ];
  const lines = breaks.map(({ from: pieces, price }) => [
    ...about,
    [say("take-from"), String(pieces)],
    [say("take-price", { currency }), { text: amount(price), value: price }],
    ...validity,
  ]);
  return { columns: lines[0].map(([head]) => head), rows: lines.map((line) => ({ cells: line.map(([, cell]) => cell) })) };
}

// The picture as it is by itself, on white paper: its size and colours are its own, its letters were the page's.
function pictureAlone() {
  const picture = byId("picture").firstChild.cloneNode(true);
  const [x, y, width, height] = picture.getAttribute("viewBox").split(" ");
  picture.prepend(drawn(["rect", ["x", x, "y", y, "width", width, "height", height, "fill", "#fff"]]));
  picture.setAttribute("font-family", "sans-serif");
  return picture;
}

function saveAs(content, what, kind, type) {
  const name = report.design.normalize().split(/[^\p{L}\p{N}]+/u).filter(Boolean).join("-").slice(0, 60) || "decal";
  save(content, `${what}-${name}.${kind}`, type);
  // A frame without an origin is in a sandbox, which may refuse without a word.
  const isBoxed = parent !== globalThis && globalThis.origin === "null";
  if (isBoxed) byId("taken").textContent = say("take-boxed");
}

function watchTaking() {
  const field = byId("taken-text");
  const act = (name, does) =>
    byId(name).addEventListener("click", async () => {
      field.hidden = true;
      byId("taken").textContent = "";
      try {
        await does();
      } catch {
        byId("taken").textContent = say("take-failed");
      }
    });
  act("take-text", () => {
    const text = asText(pricesTable());
    const mark = () => {
      Object.assign(field, { value: text, hidden: false });
      field.focus();
      field.select();
    };
    return copy(text, mark, byId("taken"));
  });
  act("take-csv", () => saveAs(asCsv(pricesTable()), "prices", "csv", "text/csv"));
  act("take-svg", () => saveAs(svgText(pictureAlone()), "decal", "svg", "image/svg+xml"));
  act("take-png", async () => saveAs(await printedPng(pictureAlone()), "decal", "png"));
}

// ---- A quote that came as a link -------------------------------------------------------------------------------------

function readLink() {
  if (!location.hash.startsWith("#quote=")) return;
  const { report: link, errors } = core("unlink", location.hash);
  const note = byId("told");
  const inform = (message, values) => {
    note.textContent = say(message, values);
    note.hidden = false;
  };
  if (errors) {
    const messages = { impossible: "link-newer", "too-large": "link-long" };
    return inform(messages[errors[0].code] ?? "link-damaged");
  }
  const offered = report.films.some(({ name }) => name === link.film) && report.channels.includes(link.channel);
  if (!offered || !["in", "cm", "mm"].includes(link.unit)) return inform("link-unknown");
  // All of it is tried before any of it is shown.
  const { channel, film, width, pieces, words } = link;
  const { report: answer } = core("ask", { card, unit: link.unit, channel, film, width, pieces, words, today: today() });
  if (!answer) return inform("link-damaged");
  byId("unit").value = link.unit;
  byId("channel").value = channel;
  fillFilms(film);
  byId("pieces").value = pieces;
  if (report.free) byId("words").value = words;
  take(answer);
  unit = link.unit;
  show();
  const then = link.total && amountOr(link.total);
  if (last.total && link.total === last.total) inform("link-same");
  else if (then && last.total) inform("link-changed", { then, now: amount(last.total) });
  else if (then) inform("link-unpriced", { then });
}

// What a link says is nobody's word: it is shown as an amount only if it is one.
function amountOr(text) {
  return /^\d{1,12}(\.\d{1,4})?$/u.test(text) ? amount(text) : "";
}

// ---- From the start on -----------------------------------------------------------------------------------------------

async function start() {
  const own = new URLSearchParams(location.search).get("language");
  speak(own);
  if (typeof WebAssembly !== "object") throw new Problem("no-wasm");
  const [wishes] = await Promise.all([frame === null ? {} : hostsWishes(), load()]);
  paint(wishes.theme);
  speak(wishes.language ?? own);
  card = undefined;
  const read = await cardOf(wishes);
  const { report: checked, errors } = core("check", read);
  if (errors) {
    const newer = errors[0].field === "version" && errors[0].code === "impossible";
    throw Object.assign(new Problem(newer ? "card-newer" : "card-bad"), { field: newer ? "" : errors[0].field });
  }
  report = checked;
  card = read;
  document.body.classList.toggle("framed", frame !== null);
  fillUnits();
  const isOffered = report.channels.includes(wishes.channel);
  fill(byId("channel"), report.channels.map((name) => [name, name]), isOffered ? wishes.channel : report.channels[0]);
  byId("channel-field").hidden = report.channels.length < 2 || isOffered;
  if (typeof wishes.channel === "string" && !isOffered) {
    // Customers are asked in its place; whoever made the page is told.
    console.warn(`The rate card has no channel of the name ${JSON.stringify(wishes.channel)}. It has: ${report.channels.join(", ")}.`);
    tell("problem", { problem: "no-channel" });
  }
  fillFilms(report.films[0].name);
  byId("words-field").hidden = !report.free;
  byId("words").value = report.words;
  take(core("ask", { card, today: today() }).report);
  watchChoices();
  watchAsking();
  watchTaking();
  byId("loading").hidden = true;
  byId("problem").hidden = true;
  byId("shop").hidden = false;
  show();
  readLink();
}

let unit;
// What a unit is written with.
const UNIT = /[a-z"'″′”’]/iu;

function watchChoices() {
  unit = byId("unit").value;
  byId("choices").addEventListener("input", ({ target }) => {
    if (target.id === "unit") convert();
    if (target.id === "width") delete target.dataset.exact;
    changed();
  });
  byId("choices").addEventListener("submit", (event) => event.preventDefault());
  byId("language").addEventListener("change", ({ target }) => speak(target.value));
  addEventListener("hashchange", readLink);
}

// Another unit keeps the size: what was typed without one was in the unit before.
function convert() {
  const before = unit;
  unit = byId("unit").value;
  const { width } = question();
  const { report: answer } = core("ask", { card, unit, width: UNIT.test(width) ? width : `${width} ${before}`, today: today() });
  if (answer) take(answer);
}

function watchHeight() {
  if (frame === null) return;
  let told;
  const measure = () => {
    const height = Math.ceil(document.documentElement.getBoundingClientRect().height);
    if (height !== told) tell("height", { height });
    told = height;
  };
  new ResizeObserver(measure).observe(document.documentElement);
}

byId("again").addEventListener("click", () => location.reload());
watchHeight();
start().catch((problem) => {
  if (problem instanceof Problem) return showProblem(problem);
  console.error(problem);
  showProblem(new Problem("stopped"));
});
