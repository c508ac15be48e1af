import { Temporal } from "temporal-polyfill";
import { describe, expect, test } from "vitest";
import {
  type DangerEpisode,
  holdsDownToC,
  isStale,
  nextDangerStep,
  outdoorCold,
  underFloor,
} from "../../bot/nudges/plan-danger.js";

const ZONE = "Europe/Warsaw";
const at = (local: string): Temporal.Instant =>
  Temporal.PlainDateTime.from(local).toZonedDateTime(ZONE).toInstant();

describe("a reading in a place", () => {
  test.each([
    [3, 5, 2],
    [4.9, 5, 0.1],
    [5, 5, null],
    [4.96, 5, null],
    [-1, null, 1],
    [1, null, null],
  ])("%d °C with a floor of %s", (value, floor, byK) => {
    const danger = underFloor(value, floor);
    if (byK === null) expect(danger).toBeNull();
    else expect(danger).toMatchObject({ kind: "under_floor", byK: expect.closeTo(byK, 5) });
  });
  test("is history a day and a half later", () => {
    expect(isStale(at("2027-01-15T08:00"), at("2027-01-16T19:00"))).toBe(false);
    expect(isStale(at("2027-01-15T08:00"), at("2027-01-16T21:00"))).toBe(true);
  });
});

describe("what a place can hold", () => {
  /** Pairs "outdoors/indoors". */
  const nights = (...texts: string[]) =>
    texts.map((text) => {
      const [outdoorC = 0, indoorC = 0] = text.split("/").map(Number);
      return { outdoorC, indoorC };
    });
  const held = nights("2/6", "0/6", "-3/6", "-5/5.5", "-8/5.2");
  test.each([
    ["is not judged before five heated nights", nights("2/6", "0/6", "8/12", "9/12", "10/13"), null],
    ["is the coldest night on which it kept its floor", held, -8],
    ["is its floor less what the heater lifted, where it failed", [...held, ...nights("-14/3")], -12],
    ["is not limited by a failure in mild weather", [...held, ...nights("-2/-1")], -8],
  ])("%s", (_, pairs, expected) => {
    expect(holdsDownToC(pairs, 5)).toBe(expected);
  });
  test.each([
    ["as cold as it has held", -8, held, false],
    ["a little colder than ever seen", -10.5, held, false],
    ["much colder than ever seen", -12, held, true],
    ["colder than a limit that was met", -13, [...held, ...nights("-14/3")], true],
    ["above freezing point", 1, nights("4/6", "3/6", "4/6", "4/6", "4/6"), false],
  ])("%s", (_, value, pairs, danger) => {
    expect(outdoorCold(value, pairs, 5) !== null).toBe(danger);
  });
});

describe("who is told when", () => {
  const open: DangerEpisode = {
    place: "Long House",
    cause: { kind: "under_floor", valueC: 3, floorC: 5, byK: 2 },
    openedAt: at("2027-01-15T07:00"),
    saidAt: null,
    times: 0,
    takenBy: null,
    closedAt: null,
  };
  const said: DangerEpisode = { ...open, saidAt: at("2027-01-15T07:00"), times: 1 };
  const by_night = { quietHours: { from: "21:00", to: "07:00" }, dangerAtNight: null };
  const always = { quietHours: null, dangerAtNight: null };
  test.each<
    [
      string,
      DangerEpisode,
      typeof by_night | typeof always | { quietHours: typeof by_night.quietHours; dangerAtNight: boolean },
      [string, string] | null,
    ]
  >([
    ["at once", open, always, ["first", "2027-01-15T07:00"]],
    ["again after half an hour", said, always, ["again", "2027-01-15T07:30"]],
    ["not once somebody took it", { ...said, takenBy: "Ines" }, always, null],
    ["every two hours after six repeats", { ...said, times: 7 }, always, ["again", "2027-01-15T09:00"]],
    ["and no more after twelve", { ...said, times: 13 }, always, null],
    [
      "all well closes it",
      { ...said, takenBy: "Ines", closedAt: at("2027-01-15T08:10") },
      always,
      ["all well", "2027-01-15T08:10"],
    ],
    ["what was never said needs no all-clear", { ...open, closedAt: at("2027-01-15T08:10") }, always, null],
    [
      "quiet hours are kept",
      { ...open, openedAt: at("2027-01-15T02:00") },
      by_night,
      ["first", "2027-01-15T07:00"],
    ],
    [
      "also before midnight",
      { ...open, openedAt: at("2027-01-14T22:00") },
      by_night,
      ["first", "2027-01-15T07:00"],
    ],
    [
      "unless the household allowed danger at night",
      { ...open, openedAt: at("2027-01-15T02:00") },
      { ...by_night, dangerAtNight: true },
      ["first", "2027-01-15T02:00"],
    ],
    ["by day it speaks at once", open, by_night, ["first", "2027-01-15T07:00"]],
  ])("%s", (_, episode, household, step) => {
    const next = nextDangerStep(episode, household, ZONE);
    expect(
      next && [
        next.say,
        next.at.toZonedDateTimeISO(ZONE).toPlainDateTime().toString({ smallestUnit: "minute" }),
      ],
    ).toEqual(step);
  });
});
