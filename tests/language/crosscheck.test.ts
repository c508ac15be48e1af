import recognizers from "@microsoft/recognizers-text-suite";
import * as chrono from "chrono-node";
import { describe, expect, test } from "vitest";
import { readMeasures, readNumber, readWhen } from "../../bot/language/index.js";
import { vocabulary } from "./support/corpus.js";

/** Checked against a general-purpose recogniser (Recognizers-Text, npm, a development dependency). */
const CULTURE = recognizers.Culture.English;
const lexicon = vocabulary().lexicon;

interface Found {
  resolution: { value?: string; unit?: string };
}

describe("numbers agree with a general recogniser", () => {
  test.each([
    "five",
    "twelve",
    "thirty three",
    "forty-five",
    "one hundred and six",
    "two dozen",
    "3,000",
    "4.5",
    "-7",
    "seventy",
    "five hundred",
    "two thousand",
    "1/5",
    "nine point nought four",
  ])("%s", (phrase) => {
    const [theirs] = recognizers.recognizeNumber(phrase, CULTURE) as Found[];
    expect(readNumber(phrase, lexicon)).toBeCloseTo(Number(theirs?.resolution.value), 9);
  });

  /** Deliberate differences: what growers write is not what a general recogniser expects. */
  test.each([
    ["a couple", 2],
    ["a dozen", 12],
    ["half a dozen", 6],
  ])("%s is %d here", (phrase, value) => {
    expect(readNumber(phrase, lexicon)).toBe(value);
  });
});

const UNITS: Record<string, string> = {
  C: "Cel",
  F: "[degF]",
  Degree: "deg",
  Centimeter: "cm",
  Millimeter: "mm",
  Inch: "[in_i]",
  Liter: "L",
  Milliliter: "mL",
  Gram: "g",
  Kilogram: "kg",
};

describe("measures agree with a general recogniser", () => {
  test.each(["4 °C", "37 degrees celsius", "70 degrees fahrenheit", "-2 degrees", "98.6 F"])(
    "temperature %s",
    (phrase) => {
      const [theirs] = recognizers.recognizeTemperature(phrase, CULTURE) as Found[];
      const [ours] = readMeasures(phrase, lexicon);
      expect(ours?.measure.value).toBe(Number(theirs?.resolution.value));
      expect(ours?.measure.unit).toBe(UNITS[theirs?.resolution.unit ?? ""]);
    },
  );

  test.each(["12 cm", "5 inches", "250 millilitres", "2 litres", "500 grams", "0.5 kg", "7mm"])(
    "dimension %s",
    (phrase) => {
      const [theirs] = recognizers.recognizeDimension(phrase, CULTURE) as Found[];
      const [ours] = readMeasures(phrase, lexicon);
      expect(ours?.measure.value).toBe(Number(theirs?.resolution.value));
      expect(ours?.measure.unit).toBe(UNITS[theirs?.resolution.unit ?? ""]);
    },
  );
});

const NOW = "2027-01-15T09:00";
const day = (text: string): string | undefined =>
  readWhen(text, NOW, lexicon, { monthFirst: false, system: "gb", dollar: "USD" })?.from.slice(0, 10);
const chronoDay = (text: string): string | undefined => {
  const [found] = chrono.en.GB.parse(text, { instant: new Date("2027-01-15T09:00:00Z"), timezone: 0 });
  if (!found) return undefined;
  const of = (part: "year" | "month" | "day"): string => String(found.start.get(part)).padStart(2, "0");
  return `${of("year")}-${of("month")}-${of("day")}`;
};

describe("dates agree with chrono-node", () => {
  test.each([
    "yesterday",
    "today",
    "3 days ago",
    "2027-01-03",
    "3 January 2027",
    "12/01/2027",
    "last Tuesday",
    "5 May 2026",
    "1st of December 2026",
    "a week ago",
  ])("%s", (phrase) => {
    expect(day(phrase)).toBe(chronoDay(phrase));
  });

  /** Deliberate differences: [phrase, ours, why]. */
  test.each([
    ["on Monday", "2027-01-11", "a log looks back; chrono takes the nearest Monday, ahead or not"],
    ["3 March", "2026-03-03", "a date with no year lies in the past of a log"],
    ["last night", "2027-01-14", "the night just ended began yesterday evening"],
    ["in December", "2026-12-01", "a month is the most recent one"],
    ["over the weekend", "2027-01-09", "the weekend that is over"],
    ["since Christmas", "2026-12-25", "the last Christmas"],
  ])("%s is %s: %s", (phrase, ours) => {
    expect(day(phrase)).toBe(ours);
  });

  test.each([
    "moved to full sun",
    "fed at 1/2 strength",
    "3 Mammillarias",
    "12 cm",
    "the second one",
    "it may rain",
  ])("no date in %s", (phrase) => {
    expect(day(phrase)).toBeUndefined();
  });

  test.each([
    ["Sat Aug 17 2013 18:40:39", "2013-08-17"],
    ["Thu, 3 Dec 2026 10:00", "2026-12-03"],
  ])("odd form %s is read", (phrase, expected) => {
    expect(day(phrase)).toBe(expected);
  });
});
