import { describe, expect, test } from "vitest";
import { cautionsOfAct } from "../../bot/horticulture/act-cautions.js";
import { cautionsFor } from "../../bot/horticulture/cautions.js";
import type { SubjectLike } from "../../bot/horticulture/coverage.js";
import { knowledge } from "./knowledge.js";

const told = (act: string, subjects: SubjectLike[] = []) =>
  cautionsOfAct(act, subjects, knowledge)
    .map((caution) => caution.text)
    .join(" | ");

describe("cautions come where they matter", () => {
  test.each<[string, SubjectLike[], RegExp]>([
    ["repot", [{ genus: "Euphorbia" }], /latex/],
    ["prune", [{ genus: "Euphorbia", species: "milii" }], /latex/],
    ["take_cutting", [{ genus: "Adenium", species: "obesum" }], /heart poisons/],
    ["repot", [{ genus: "Opuntia" }], /glochids/],
    ["acquire", [{ genus: "Kalanchoe" }], /toxic to pets/],
    ["harvest_seed", [{ genus: "Ariocarpus" }], /CITES Appendix I/],
    ["acquire", [{ genus: "Astrophytum", species: "asterias" }], /CITES Appendix I/],
    ["treat", [{ genus: "Aloe" }], /label/],
    ["heat_on", [], /electrician/],
    ["heat_on", [], /carbon monoxide/],
    ["power_back", [], /mains in the damp/],
  ])("%s of %j", (act, subjects, expected) => {
    expect(told(act, subjects)).toMatch(expected);
  });

  test.each<[string, SubjectLike[]]>([
    ["water", [{ genus: "Euphorbia" }]],
    ["feed", []],
    ["flower", [{ genus: "Adenium" }]],
    ["reading", []],
    ["acquire", [{ genus: "Astrophytum", species: "myriostigma" }]],
  ])("%s of %j: none about sap, spines or law", (act, subjects) => {
    expect(told(act, subjects)).not.toMatch(/latex|sap|glochid|CITES|poison|mains/);
  });

  test("the same caution of two plants is told once", () => {
    const one = told("repot", [{ genus: "Euphorbia" }]);
    expect(told("repot", [{ genus: "Euphorbia" }, { genus: "Euphorbia", species: "obesa" }])).toBe(one);
  });

  test("asked for, all of a taxon are told, also those tied to no act", () => {
    const name = knowledge.index.resolve("Haworthia");
    if (name.kind !== "taxon") throw new Error(name.kind);
    expect(cautionsFor(name, "hazard", knowledge.cautions).length).toBeGreaterThan(0);
    expect(cautionsFor(name, "water", knowledge.cautions)).toEqual([]);
  });

  test("nothing promises that a plant is safe, gives a dose or a rate", () => {
    for (const { text, firstAid } of knowledge.cautions) {
      expect(`${text} ${firstAid}`).not.toMatch(
        /\bsafe for (?:pets|cats|dogs|children)\b|\d+ ?(?:mg|g|ml)\b/i,
      );
    }
  });
});
