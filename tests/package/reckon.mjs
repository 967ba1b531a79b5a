// The package in Node 20 or later: node reckon.mjs, beside a copy of target/pkg/ named decal-reckoner/
import { legibilityAtDistance, materialYield, quote } from "./decal-reckoner/index.js";

const unit = "in";
const decal = { width: 9, height: 3, letterHeight: "1 1/2" };
const material = {
  unit,
  sheet: { width: 12, length: 24 },
  margin: "1/4",
  gap: "1/8",
  pieces: [{ width: decal.width, height: decal.height }],
};

const reading = legibilityAtDistance({ unit, decal, distance: "60 ft" });
console.log(`Readable from ${reading.recommended.distance.text} (${reading.recommended.name}).`);

const layout = materialYield(material);
console.log(`${layout.count} a sheet${layout.proven ? ", and no layout holds more" : ""}.`);

const price = quote({
  currency: "USD",
  material,
  film: { price: "3.50" },
  supplies: [{ name: "Mailer", each: "0.62", per: "posted" }],
  wage: "18.00",
  pieceTime: "7 min",
  channel: { fees: [{ name: "Selling", item: "6.5", order: "0.20" }] },
  target: { kind: "margin", value: "20" },
  ending: "50",
});
console.log(`Ask ${price.asked.price} ${price.currency}; that leaves ${price.asked.left}.`);

try {
  materialYield({ ...material, gap: "thick" });
} catch (error) {
  console.log(`${error.field}: ${error.message}; ${error.hint}.`);
}
