// What a maker does with what is made for others: sees the rate card as customers do, saves it, and opens the papers. Loaded
// when it is first asked for.

import "./decal-quote.js";

const PAGE = new URL("shop.html", import.meta.url);
const EMPTY = '<script type="application/json" id="rate-card"></script>';

export async function act({ dataset: { publish: wanted } }) {
  if (!(await isNew(wanted === "papers" ? "papers" : "rateCard"))) return;
  if (wanted === "papers") return openPapers();
  const card = document.getElementById("card-text").value;
  if (!card) return;
  if (wanted === "see") return see(JSON.parse(card));
  if (wanted === "card") return save(`${card}\n`, "rate-card.json", "application/json");
  const response = await fetch(PAGE);
  const page = await response.text();
  // Nothing in the card ends the script that it stands in.
  const whole = page.replace(EMPTY, () => EMPTY.replace("></", `>${card.replaceAll("<", "\\u003c")}</`));
  // Not by the name of the site's own page, in whose place it would be laid.
  save(whole, `price-list-${JSON.parse(card).edition}.html`, "text/html");
}

// Once an answer is that to what is typed now; not while a field that it needs is to be mended.
async function isNew(name) {
  const answer = document.querySelector(`[data-answer=${name}]`);
  while (answer.hasAttribute("data-waiting")) await new Promise((resume) => setTimeout(resume, 50));
  return !answer.hasAttribute("data-old");
}

function see(card) {
  const dialog = document.getElementById("preview-dialog") ?? preview();
  const shown = document.createElement("decal-quote");
  shown.card = card;
  dialog.lastElementChild.replaceChildren(shown);
  dialog.showModal();
}

// Made when it is first asked for, so that no visit has to load it.
function preview() {
  const dialog = Object.assign(document.createElement("dialog"), { id: "preview-dialog", ariaLabel: say("The rate card as customers see it") });
  Object.assign(dialog.style, { width: "66rem", maxWidth: "calc(100% - 1rem)" });
  const form = Object.assign(document.createElement("form"), { method: "dialog" });
  form.append(Object.assign(document.createElement("button"), { className: "quiet", textContent: say("Close") }));
  dialog.append(form, document.createElement("div"));
  document.body.append(dialog);
  return dialog;
}

// Hands over what stands on them by the store that both pages share, where it outlasts a reload; where there is none or it
// is full, by the address.
function openPapers() {
  const page = new URL("papers.html", import.meta.url);
  const told = document.getElementById("papers-text").textContent;
  const root = new URL(document.documentElement.dataset.root ?? ".", page);
  try {
    localStorage.setItem(`decal-reckoner:${root.pathname}:papers`, told);
  } catch {
    page.hash = encodeURIComponent(told);
  }
  open(page);
}

function save(text, name, type) {
  const address = URL.createObjectURL(new Blob([text], { type }));
  Object.assign(document.createElement("a"), { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
