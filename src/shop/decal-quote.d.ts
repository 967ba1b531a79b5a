/**
 * The element `<decal-quote>`: sizes and prices of a rate card, in a frame that is as high as what is in it.
 *
 * `import "decal-reckoner/decal-quote.js"` defines it; as an imported module it looks for `shop.html` beside the page,
 * unless the attribute `page` says where it is.
 */
export {};

declare global {
  /** A rate card, as `rate-card.schema.json` describes it. */
  type DecalRateCard = import("./index.js").RateCard;

  /** Why no price is told, and the maker is to be asked. */
  type DecalAsk = "notYet" | "expired" | "tooSmall" | "tooLarge" | "tooMany" | "words" | "noPrice";

  /** What a customer chose, and the card's answer to it. Amounts are decimal texts in `currency`, lengths count in `unit`. */
  interface DecalQuote {
    /** Which edition of the card tells it. */
    edition: number;
    /** ISO 4217 code. */
    currency: string;
    /** The way of selling. */
    channel: string;
    film: string;
    /** What is written; lines are divided by line breaks. */
    words: string;
    pieces: number;
    unit: "in" | "ft" | "yd" | "mm" | "cm" | "m";
    /** Over everything that is cut. */
    width: number;
    /** Over everything that is cut. */
    height: number;
    /** From how far it can be read; undefined where it cannot, or where nothing is written. */
    distance?: number;
    /** Of a piece; undefined where the maker is to be asked, as are all amounts. */
    price?: string;
    /** All pieces together. */
    items?: string;
    /** Undefined where the order is not posted. */
    postage?: string;
    /** On top or included, as `taxKind` says. */
    tax?: string;
    taxKind: "none" | "added" | "included";
    /** All that is paid. */
    total?: string;
    /** The first reason first; empty where a price is told. */
    asks: DecalAsk[];
  }

  /** Colours and font families of the page, as CSS writes them. What the browser does not take is passed over. */
  interface DecalTheme {
    paper?: string;
    sheet?: string;
    ink?: string;
    soft?: string;
    rule?: string;
    accent?: string;
    alarm?: string;
    figures?: string;
    text?: string;
  }

  /** The frame has become so many CSS pixels high. */
  type DecalHeightEvent = CustomEvent<{ height: number }>;
  /** The first answer, and one for each change of the choices. */
  type DecalQuoteEvent = CustomEvent<{ quote: DecalQuote }>;
  /** The customer has taken the text of a request: into a mail, the clipboard, the device's sheet, or a file. */
  type DecalRequestEvent = CustomEvent<{
    by: "mail" | "copy" | "share" | "save";
    subject: string;
    text: string;
    quote: DecalQuote;
  }>;
  /** No price can be shown, and the frame says why; for `no-channel` prices are shown, and customers choose one. */
  type DecalProblemEvent = CustomEvent<{
    problem: "no-card" | "card-unreachable" | "card-bad" | "card-newer" | "no-wasm" | "stopped" | "no-channel";
  }>;

  /** Events of the element; all of them bubble. */
  interface DecalQuoteEventMap {
    "decal-height": DecalHeightEvent;
    "decal-quote": DecalQuoteEvent;
    "decal-request": DecalRequestEvent;
    "decal-problem": DecalProblemEvent;
  }

  /**
   * Attributes: `card` (file name of a card beside `shop.html`), `channel`, `language`, `label` (what the frame is called
   * for readers of screens), `page` (address of `shop.html`), `sandboxed`, `theme` (`ink: #16232b; accent: teal`).
   */
  interface HTMLDecalQuoteElement extends HTMLElement {
    /** The card itself, in place of one that is named. */
    card: DecalRateCard | undefined;
    addEventListener<K extends keyof DecalQuoteEventMap>(
      type: K,
      listener: (this: HTMLDecalQuoteElement, event: DecalQuoteEventMap[K]) => void,
      options?: boolean | AddEventListenerOptions,
    ): void;
    addEventListener<K extends keyof HTMLElementEventMap>(
      type: K,
      listener: (this: HTMLElement, event: HTMLElementEventMap[K]) => void,
      options?: boolean | AddEventListenerOptions,
    ): void;
    addEventListener(type: string, listener: EventListenerOrEventListenerObject, options?: boolean | AddEventListenerOptions): void;
  }

  interface HTMLElementTagNameMap {
    "decal-quote": HTMLDecalQuoteElement;
  }
}
