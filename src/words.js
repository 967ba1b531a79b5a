// What the pages that stand alone have in common: words by Fluent, figures by Intl, and a few handles on the page.
//
// The build puts this before the script of each and fills in the next line (xtask/src/shop.rs): the catalogues of messages.
const CATALOGUES = {};

const { FluentBundle, FluentResource } = globalThis.FluentBundle;

const byId = (id) => document.getElementById(id);
const all = (selector) => document.querySelectorAll(selector);

const UNITS = { in: "inch", ft: "foot", mm: "millimeter", cm: "centimeter", m: "meter" };

// That of the site, where this page stands in the site in another language.
const { lang, dataset } = document.documentElement;
const OF_SITE = dataset.root && lang;

// A language that there is a catalogue for, and how its readers write figures.
class Tongue {
  constructor(wanted) {
    this.language = [wanted, OF_SITE, ...navigator.languages, "en"]
      .map((tag) => (typeof tag === "string" ? tag.split("-")[0].toLowerCase() : ""))
      .find((tag) => Object.hasOwn(CATALOGUES, tag));
    // What numbers look like is the country's; English of any other country than the reader's would be another one's.
    const own = navigator.languages.find((tag) => tag.toLowerCase().startsWith(this.language));
    this.tag = own ?? this.language;
    // The text is copied and sent: marks that isolate writing directions would go with it.
    this.bundle = new FluentBundle(this.tag, { useIsolating: false });
    this.bundle.addResource(new FluentResource(CATALOGUES[this.language]));
  }

  // The languages that there are, each with its own name.
  static names() {
    return Object.keys(CATALOGUES).map((tag) => [tag, new Tongue(tag).say("language-name")]);
  }

  // Puts its messages into the page.
  fill(page) {
    page.documentElement.lang = this.language;
    for (const place of page.querySelectorAll("[data-message]")) place.textContent = this.say(place.dataset.message);
  }

  say(message, values) {
    const found = this.bundle.getMessage(message);
    return found?.value ? this.bundle.formatPattern(found.value, values) : "";
  }

  amount(text, { currency, decimals }) {
    const digits = { minimumFractionDigits: decimals, maximumFractionDigits: decimals };
    return new Intl.NumberFormat(this.tag, { style: "currency", currency, currencyDisplay: "narrowSymbol", ...digits }).format(text);
  }

  day(text) {
    const [year, month, date] = text.split("-").map(Number);
    const time = new Date(2000, 0, 1);
    time.setFullYear(year, month - 1, date);
    return new Intl.DateTimeFormat(this.tag, { dateStyle: "long" }).format(time);
  }

  // A length as the core tells it, `42 ft` or `1,5 m`, in the way that is asked for; fractions of an inch stay as they are.
  long(text, how) {
    const [, number, symbol] = /^([\d.]+)\s(\w+)$/u.exec(text.replace(",", ".")) ?? [];
    if (!UNITS[symbol]) return text;
    // One comma or point in a length is always that of its decimals, whoever reads it.
    const unit = { style: "unit", unit: UNITS[symbol], maximumFractionDigits: 3, useGrouping: "min2", ...how };
    return new Intl.NumberFormat(this.tag, unit).format(number);
  }
}

function today() {
  const now = new Date();
  const two = (number) => String(number).padStart(2, "0");
  return `${now.getFullYear()}-${two(now.getMonth() + 1)}-${two(now.getDate())}`;
}

function fill(select, options, chosen) {
  select.replaceChildren(...options.map(([value, text]) => new Option(text, value, false, value === chosen)));
}

// The names of the languages, each said in its own.
function fillLanguages(select, chosen) {
  fill(select, Tongue.names(), chosen);
  for (const option of select.options) option.lang = option.value;
}

// A picture that came as plain values: the element's name, its attributes' names and values, and its children.
function drawn([tag, attributes, ...children]) {
  const element = document.createElementNS("http://www.w3.org/2000/svg", tag);
  for (let at = 0; at < attributes.length; at += 2) element.setAttribute(attributes[at], attributes[at + 1]);
  element.append(...children.map((child) => (Array.isArray(child) ? drawn(child) : child)));
  return element;
}

function row(name, value) {
  const row = document.createElement("tr");
  const head = Object.assign(document.createElement("th"), { scope: "row", textContent: name });
  row.append(head, Object.assign(document.createElement("td"), { textContent: value }));
  return row;
}
