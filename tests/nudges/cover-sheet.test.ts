import fc from "fast-check";
import { describe, expect, test } from "vitest";
import type { DuePlace } from "../../bot/horticulture/due/types.js";
import { coverPdf } from "../../bot/messenger/cover-sheet/document.js";
import { printable } from "../../bot/messenger/cover-sheet/printable.js";
import { planCover } from "../../bot/nudges/plan-cover.js";
import { day, duePlant, instant, KNOWLEDGE, largeCollection, setting, wateredOn } from "./collection.js";

const MANNER = { units: "metric", zone: "Europe/Warsaw", now: instant("2027-02-10T08:00:00Z") } as const;

const cover = (plants: ReturnType<typeof largeCollection>, from: string, to: string, watered = {}) =>
  planCover({
    plants,
    setting: setting(from),
    history: wateredOn(watered),
    knowledge: KNOWLEDGE,
    from: day(from),
    to: day(to),
  });
const pdfOf = (sheet: ReturnType<typeof cover>) =>
  coverPdf({
    sheet,
    away: { from: sheet.from.toString(), to: sheet.to.toString(), cover: "Paweł", by: "Ines" },
    where: "Glasshouse, Gdańsk",
    manner: MANNER,
  });
const pages = (pdf: Buffer): number => (pdf.toString("latin1").match(/\/Type \/Page\b/g) ?? []).length;

describe("the plan of a cover", () => {
  const few = [
    duePlant("h", "Haworthia"),
    duePlant("g", "Gasteria"),
    duePlant("c", "Copiapoa"),
    duePlant("e", "Echeveria", { place: "Warm Bench" }),
  ];
  const watered = { h: "2027-01-30", g: "2027-01-31", e: "2027-02-01", c: "2026-10-01" };

  test("waters what falls due, on few days, and keeps the winter's rest dry", () => {
    const sheet = cover(few, "2027-02-12", "2027-02-26", watered);
    const named = sheet.visits.flatMap(({ places }) =>
      places.flatMap(({ lines }) => lines.flatMap(({ names }) => names)),
    );
    expect(new Set(named)).toEqual(new Set(["Haworthia", "Gasteria", "Echeveria"]));
    expect(sheet.visits.length).toBeLessThanOrEqual(2);
    expect(sheet.dry).toEqual([{ place: "Long House", names: ["Copiapoa"], all: false }]);
    expect(sheet.floors).toEqual([
      { place: "Long House", floorC: 5 },
      { place: "Warm Bench", floorC: 12 },
    ]);
  });

  test("says what nights moist roots need, unless floor or season see to it", () => {
    const winter = cover(few, "2027-02-12", "2027-02-26", watered);
    const gasteria = winter.visits
      .flatMap(({ places }) => places.flatMap(({ lines }) => lines))
      .find(({ names }) => names.includes("Gasteria"));
    expect(gasteria?.nightsAboveC).toBeGreaterThan(5);
    const summer = cover(few, "2027-07-12", "2027-07-20");
    const lines = summer.visits.flatMap(({ places }) => places.flatMap((place) => place.lines));
    expect(lines.length).toBeGreaterThan(0);
    expect(lines.every(({ nightsAboveC }) => nightsAboveC === null)).toBe(true);
  });

  test("leaves the household's own history as it was", () => {
    const history = wateredOn(watered);
    planCover({
      plants: few,
      setting: setting("2027-02-12"),
      history,
      knowledge: KNOWLEDGE,
      from: day("2027-02-12"),
      to: day("2027-03-26"),
    });
    expect(history.of("h", "water")).toHaveLength(1);
  });

  test("never waters twice within the early edge of the rule", () => {
    const sheet = cover(few, "2027-06-01", "2027-07-31");
    const days = new Map<string, string[]>();
    for (const { date, places } of sheet.visits) {
      for (const name of places.flatMap(({ lines }) => lines.flatMap(({ names }) => names))) {
        days.set(name, [...(days.get(name) ?? []), date.toString()]);
      }
    }
    expect(days.size).toBeGreaterThan(2);
    for (const visits of days.values()) {
      for (const [index, date] of visits.entries()) {
        if (index > 0)
          expect(day(visits[index - 1] as string).until(day(date)).days).toBeGreaterThanOrEqual(4);
      }
    }
  });
});

describe("the printed sheet", () => {
  test.each([
    [3, 3, "2027-02-12", "2027-02-26"],
    [300, 80, "2027-02-12", "2027-02-26"],
    [300, 80, "2027-07-01", "2027-08-25"],
    [300, 200, "2027-05-01", "2027-06-25"],
  ])("is one page for %i plants of %i genera, %s to %s", async (plants, genera, from, to) => {
    const pdf = await pdfOf(cover(largeCollection(plants, genera), from, to));
    expect(pdf.subarray(0, 5).toString()).toBe("%PDF-");
    expect(pages(pdf)).toBe(1);
  });

  test("is one page with forty places too", async () => {
    const plants = largeCollection(300, 80).map((plant, index) => ({
      ...plant,
      place: `Bench ${index % 40}`,
    }));
    const places = new Map(
      Array.from({ length: 40 }, (_, index) => {
        const bench = {
          ...(setting("2027-02-12").places.get("Warm Bench") as DuePlace),
          name: `Bench ${index}`,
        };
        return [`Bench ${index}`, bench] as const;
      }),
    );
    const sheet = planCover({
      plants,
      setting: { ...setting("2027-05-12"), places },
      history: wateredOn({}),
      knowledge: KNOWLEDGE,
      from: day("2027-05-12"),
      to: day("2027-06-12"),
    });
    expect(pages(await pdfOf(sheet))).toBe(1);
  });

  test.each([
    ["Gdańsk, Łódź", "Gdansk, Lódz"],
    ["min −4 °C", "min -4 °C"],
    ["“What’s due?”", "“What’s due?”"],
    ["❄ Long House", "Long House"],
    ["Ärger é ß", "Ärger é ß"],
    ["Žižka", "Žižka"],
    ["Теплиця", "???????"],
  ])("prints %j as %j", (text, shown) => {
    expect(printable(text)).toBe(shown);
  });

  test("prints any text in characters of the standard fonts", () => {
    fc.assert(
      fc.property(fc.string({ unit: "binary" }), (text) => {
        for (const character of printable(text)) {
          const code = character.codePointAt(0) as number;
          const latin = (code >= 0x20 && code <= 0x7e) || (code >= 0xa0 && code <= 0xff);
          expect(latin || "€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ".includes(character)).toBe(true);
        }
      }),
    );
  });
});
