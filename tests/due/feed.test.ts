import { describe, expect, test } from "vitest";
import { feedRhythm, feedWith } from "../../bot/horticulture/due/feed.js";
import { waterState } from "../../bot/horticulture/due/water.js";
import { knowledge } from "../horticulture/knowledge.js";
import { day, historyOf, plant, type Situation, settingOf, small } from "./support.js";

describe("the words of the table", () => {
  test.each([
    ["none", null],
    ["none until growing", null],
    ["", null],
    ["high potash, every second watering", { by: "waterings", each: 2 }],
    ["half strength, monthly", { by: "days", days: [28, 35] }],
    ["half strength, every two weeks", { by: "days", days: [14, 16] }],
    ["balanced, fortnightly", { by: "days", days: [14, 16] }],
    ["half strength, every two to three weeks", { by: "days", days: [14, 21] }],
    ["half strength, every three weeks", { by: "days", days: [21, 24] }],
    ["half strength, weekly", { by: "days", days: [7, 9] }],
    ["half strength, once or twice", { by: "season", times: 2 }],
    ["very weak, once", { by: "season", times: 1 }],
    ["half strength", { by: "days", days: [28, 35] }],
  ])("%s", (text, rhythm) => {
    expect(feedRhythm(text, day("2027-06-15"), "north")).toEqual(rhythm);
  });

  test.each([
    ["high potash until October", "2027-09-20", "north", true],
    ["high potash until October", "2027-10-02", "north", false],
    ["high potash until October", "2027-03-20", "south", true],
    ["high potash until October", "2027-04-02", "south", false],
    ["from April, balanced, fortnightly", "2027-03-15", "north", false],
    ["from April, balanced, fortnightly", "2027-04-15", "north", true],
    ["quarter strength in March", "2027-03-15", "north", true],
    ["quarter strength in March", "2027-04-15", "north", false],
    ["none after September", "2027-09-15", "north", false],
  ] as const)("%s on %s in the %s", (text, on, hemisphere, feeds) => {
    expect(feedRhythm(text, day(on), hemisphere) !== null).toBe(feeds);
  });

  test.each([
    ["2027-09-20", { by: "days", days: [7, 9] }],
    ["2027-10-20", { by: "days", days: [28, 35] }],
  ])("one text after the other, on %s", (on, rhythm) => {
    const text = "high potash weekly to late September, then quarter strength";
    expect(feedRhythm(text, day(on), "north")).toEqual(rhythm);
  });

  test("every text of the care table has a rhythm or says none", () => {
    const texts = new Set(
      [...knowledge.lookup.table.rules.values()].flatMap((set) => Object.values(set).map(({ feed }) => feed)),
    );
    const silent = [...texts].filter((text) => {
      const months = Array.from({ length: 12 }, (_, month) =>
        feedRhythm(text, day("2027-01-15").add({ months: month }), "north"),
      );
      return months.every((rhythm) => rhythm === null) && !/^none/.test(text) && text !== "";
    });
    expect(silent).toEqual([]);
  });
});

describe("feeding with a watering", () => {
  const feeds = (genus: string, situation: Situation) => {
    const one = plant(genus, situation.plant);
    const history = historyOf(situation.done ?? [], [one.id]);
    const setting = settingOf(situation);
    const state = waterState(one, setting, history, small);
    return state.state === "open" && feedWith(state.item, setting, history) !== null;
  };
  test.each<[string, string, Situation, boolean]>([
    [
      "in growth, at every second one",
      "Mammillaria",
      { on: "2027-07-20", done: ["water 2027-06-25", "feed 2027-06-25", "water 2027-07-08"] },
      true,
    ],
    [
      "not at the one after a feed",
      "Mammillaria",
      { on: "2027-07-20", done: ["water 2027-07-08", "feed 2027-07-08"] },
      false,
    ],
    [
      "never on the first sips after the rest",
      "Dioscorea",
      { on: "2026-09-12", done: ["water 2026-05-01"] },
      false,
    ],
    [
      "never right after repotting",
      "Mammillaria",
      { on: "2027-07-20", done: ["water 2027-06-25", "water 2027-07-08", "repot 2027-06-20"] },
      false,
    ],
    [
      "again six weeks after it",
      "Mammillaria",
      { on: "2027-08-10", done: ["water 2027-07-18", "water 2027-07-29", "repot 2027-06-20"] },
      true,
    ],
    ["never on a sip of winter", "Haworthia", { on: "2027-01-15", done: ["water 2026-12-27"] }, false],
    ["never before its day has come", "Haworthia", { on: "2027-04-08", done: ["water 2027-04-01"] }, false],
    [
      "twice a season at most",
      "Haworthia",
      { on: "2027-05-20", done: ["feed 2027-03-10", "feed 2027-04-15", "water 2027-05-08"] },
      false,
    ],
    [
      "the second one five weeks after the first",
      "Haworthia",
      { on: "2027-05-20", done: ["feed 2027-04-10", "water 2027-05-08"] },
      true,
    ],
    [
      "not while something holds the water back",
      "Haworthia",
      { on: "2027-05-20", done: ["water 2027-05-08"], place: { coldestC: 4 } },
      false,
    ],
  ])("%s", (_, genus, situation, expected) => {
    expect(feeds(genus, situation)).toBe(expected);
  });
  test("not for a household that never feeds them", () => {
    const situation: Situation = {
      on: "2027-07-20",
      done: ["water 2027-06-25", "water 2027-07-08"],
      ownRules: [
        {
          subjects: [{ group: "cacti" }],
          never: "feed",
          saidBy: "Ines",
          saidOn: day("2027-01-01"),
          words: "",
        },
      ],
    };
    expect(feeds("Mammillaria", situation)).toBe(false);
  });
});
