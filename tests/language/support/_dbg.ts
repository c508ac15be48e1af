import { readFileSync } from "node:fs";
import { mark } from "../../../bot/language/mark.js";
import { normalise } from "../../../bot/language/normalise.js";
import { tokenise } from "../../../bot/language/tokenise.js";
import { household, vocabulary } from "./corpus.js";

const h = process.argv[2] ?? "baltic",
  layer = process.argv[3];
for (const l of readFileSync(0, "utf8").split("\n")) {
  if (!l.trim()) continue;
  const v = vocabulary();
  const toks = tokenise(normalise(l));
  const items = mark(
    toks,
    { ...household(h), now: "2027-01-15T09:00", zone: "Europe/Warsaw", addressed: true } as any,
    v,
    layer ? (v.layers as any)[layer] : undefined,
  );
  console.log(l);
  for (const i of items)
    console.log(
      "   ",
      toks
        .slice(i.start, i.end)
        .map((t) => t.text)
        .join(" "),
      "|",
      i.senses.map((s) => s.cls + ":" + s.value + (s.form ? "/" + s.form : "")).join(" "),
      i.subject ? JSON.stringify(i.subject) : "",
      i.measure ? JSON.stringify(i.measure) : "",
      i.time ? JSON.stringify(i.time) : "",
    );
}
