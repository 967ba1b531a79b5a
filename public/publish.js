// What a maker does with the rate card: sees it as customers do, and saves it. Loaded when it is first asked for.

import "./decal-quote.js";

const PAGE = new URL("shop.html", import.meta.url);
const EMPTY = '<script type="application/json" id="rate-card"></script>';

export async function publish(act) {
  const card = document.getElementById("card-text").value;
  if (!card) return;
  if (act === "see") return see(JSON.parse(card));
  if (act === "card") return save(`${card}\n`, "rate-card.json", "application/json");
  const response = await fetch(PAGE);
  const page = await response.text();
  // Nothing in the card ends the script that it stands in.
  const whole = page.replace(EMPTY, () => EMPTY.replace("></", `>${card.replaceAll("<", "\\u003c")}</`));
  save(whole, "shop.html", "text/html");
}

function see(card) {
  const dialog = document.getElementById("preview-dialog");
  const shown = document.createElement("decal-quote");
  shown.card = card;
  dialog.querySelector("[data-preview]").replaceChildren(shown);
  dialog.showModal();
}

function save(text, name, type) {
  const address = URL.createObjectURL(new Blob([text], { type }));
  Object.assign(document.createElement("a"), { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}
