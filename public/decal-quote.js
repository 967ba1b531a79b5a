// The element <decal-quote>, for a maker's own pages: sizes and prices of a rate card in a frame that fits its content.
//
//   <script defer src="https://reckoner.example/decal-quote.js"></script>
//   <decal-quote card="rate-card.json"></decal-quote>
//
// README.md lists its attributes and events; schemas/messages.schema.json the messages between it and its frame.
//
// It is no module, though it may be imported as one: a browser takes a module of another origin only from a host that
// says so in a header, and none from a file.
{

// The page lies beside this script; beside the page that imports it, where nothing says whence it came.
const script = document.currentScript ?? document.querySelector('script[src*="decal-quote.js"]');
const PAGE = new URL("shop.html", script?.src || document.baseURI);
const HIGHEST = 20_000;
const TOLD = ["height", "quote", "request", "problem"];

let frames = 0;

class DecalQuote extends HTMLElement {
  static observedAttributes = ["card", "channel", "language", "page", "sandboxed", "theme"];

  #id;
  #frame;
  #origin;
  #card;
  #hear = (event) => this.#heard(event);

  // The card itself, for a page that has it at hand; it comes before one that is named.
  get card() {
    return this.#card;
  }

  set card(card) {
    this.#card = card;
    if (this.isConnected) this.#show();
  }

  connectedCallback() {
    addEventListener("message", this.#hear);
    // A card that was set before this script came hides the property.
    if (Object.hasOwn(this, "card")) {
      const { card } = this;
      delete this.card;
      this.#card = card;
    }
    // What stands inside of the element is parsed after its beginning.
    queueMicrotask(() => this.isConnected && this.#show());
  }

  disconnectedCallback() {
    removeEventListener("message", this.#hear);
    this.#frame?.remove();
    this.#frame = undefined;
  }

  attributeChangedCallback(name, before, now) {
    if (!this.#frame || before === now) return;
    if (name === "theme") this.#tell("theme", { theme: this.#theme() });
    else if (name === "language") this.#tell("language", { language: now });
    else this.#show();
  }

  #show() {
    this.#frame?.remove();
    frames += 1;
    this.#id = `${frames}-${crypto.getRandomValues(new Uint32Array(1))[0]}`;
    const address = this.#page();
    const named = this.getAttribute("card");
    if (named) address.searchParams.set("card", named);
    address.hash = new URLSearchParams({ frame: this.#id, host: globalThis.origin });
    // A frame in a sandbox has no origin: its messages come from `null`, as those of a file do.
    const sandboxed = this.hasAttribute("sandboxed");
    this.#origin = sandboxed || address.protocol === "file:" ? "null" : address.origin;
    const frame = document.createElement("iframe");
    if (sandboxed) frame.sandbox = "allow-scripts allow-popups allow-downloads";
    frame.allow = navigator.share ? "clipboard-write; web-share" : "clipboard-write";
    frame.referrerPolicy = "no-referrer";
    frame.title = this.getAttribute("label") ?? "Sizes and prices";
    Object.assign(frame.style, { display: "block", width: "100%", height: "30rem", border: "0" });
    Object.assign(this.style, { display: "block" });
    frame.src = address;
    this.#frame = frame;
    this.append(frame);
  }

  // Where the customers' page is. An address that is none, or that would run something here, counts for nothing.
  #page() {
    const named = this.getAttribute("page");
    const address = named && URL.canParse(named, document.baseURI) && new URL(named, document.baseURI);
    return address && /^(https?|file):$/u.test(address.protocol) ? address : new URL(PAGE);
  }

  #tell(type, more) {
    const message = { decalQuote: 1, frame: this.#id, type, ...more };
    this.#frame.contentWindow?.postMessage(message, this.#origin === "null" ? "*" : this.#origin);
  }

  #heard({ source, origin, data }) {
    if (!this.#frame || source !== this.#frame.contentWindow || origin !== this.#origin) return;
    if (data?.decalQuote !== 1 || data.frame !== this.#id) return;
    const { decalQuote, frame, type, ...detail } = data;
    if (type === "ready") return this.#start();
    if (!TOLD.includes(type)) return;
    if (type === "height") {
      if (!Number.isFinite(detail.height) || detail.height < 0) return;
      this.#frame.style.height = `${Math.min(detail.height, HIGHEST)}px`;
    }
    this.dispatchEvent(new CustomEvent(`decal-${type}`, { bubbles: true, detail }));
  }

  #start() {
    const wishes = { theme: this.#theme() };
    for (const name of ["language", "channel"]) {
      if (this.hasAttribute(name)) wishes[name] = this.getAttribute(name);
    }
    const card = this.#card ?? this.#cardInside();
    if (card !== undefined) wishes.card = card;
    this.#tell("start", wishes);
  }

  // A card that the shop page holds itself, as a script of type application/json inside of the element.
  #cardInside() {
    const text = this.querySelector('script[type="application/json"]')?.textContent;
    if (!text?.trim()) return undefined;
    try {
      return JSON.parse(text);
    } catch {
      // The frame says that this is no card.
      return null;
    }
  }

  // `ink: #16232b; accent: teal`, as an object.
  #theme() {
    const pairs = (this.getAttribute("theme") ?? "").split(";").map((pair) => pair.split(":").map((part) => part.trim()));
    return Object.fromEntries(pairs.filter(([name, value]) => name && value));
  }
}

if (!customElements.get("decal-quote")) customElements.define("decal-quote", DecalQuote);

}
