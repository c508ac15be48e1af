import { readFileSync } from "node:fs";
import { interpret } from "../../../bot/language/index.js";
import { household, vocabulary } from "./corpus.js";

const h = process.argv[2] ?? "baltic",
  at = process.argv[3] === "@",
  now = process.argv[4] ?? "2027-01-15T09:00";
const hh = household(h);
const w = (x: any) => (x ? `${x.from.slice(2)}~${x.to.slice(2)} ${x.grain}` : "");
const e = (x: any) => {
  const { act, when, ...r } = x;
  return `${act} ${JSON.stringify(r).replace(/"/g, "")} ${w(when)}`;
};
for (const l of readFileSync(0, "utf8").split("\n")) {
  if (!l.trim()) continue;
  const a = l.startsWith("@");
  const t = a ? l.slice(1).trim() : l;
  const r: any = interpret(
    t,
    { ...hh, now, zone: hh.zone ?? "Europe/Warsaw", addressed: a || at } as any,
    vocabulary(),
  );
  console.log((a || at ? "@" : " ") + t);
  if (r.kind === "log") for (const x of r.entries) console.log("      " + e(x));
  else
    console.log(
      "      " +
        r.kind +
        " " +
        JSON.stringify(r.question ?? r.instruction ?? r.missing ?? "").replace(/"/g, ""),
    );
}
