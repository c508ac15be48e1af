import { Temporal } from "temporal-polyfill";
import { afterEach, describe, expect, test } from "vitest";
import type { JournalStore } from "../../bot/journal/ports.js";
import type { Entry, Interpretation } from "../../bot/language/interpretation.js";
import { Club, type ClubOptions, localTime, messages } from "./club.js";

const ZONE = "Europe/Warsaw";
let club: Club;
afterEach(() => club.close());

const log = (...entries: Entry[]): Interpretation => ({ kind: "log", entries });
const reading = (value: number, place = "Long House"): Entry => ({
  act: "reading",
  place,
  reading: { quantity: "air_temperature", statistic: "current", value, unit: "Cel" },
});
const instruct = (instruction: NonNullable<Interpretation["instruction"]>): Interpretation => ({
  kind: "instruct",
  instruction,
});
const SCRIPT = {
  "it is 3": log(reading(3)),
  "it is 1": log(reading(1)),
  "it is 2.7": log(reading(2.7)),
  "it is 6": log(reading(6)),
  "bench is 14": log(reading(14, "Warm Bench")),
  "power cut": log({ act: "power_cut" }),
  "power is back": log({ act: "power_back" }),
  "I do": instruct({ do: "claim" }),
  "all well again": instruct({ do: "all_well" }),
  undo: instruct({ do: "undo" }),
  "no, 8": instruct({ do: "amend", change: { value: { value: 8, unit: "Cel" } } }),
  "quiet 21 to 7": instruct({ do: "set", setting: "quiet_hours", value: { from: "21:00", to: "07:00" } }),
  "we have a frame": instruct({ do: "add_place", place: "frame", value: { value: 2, unit: "Cel" } }),
};
const open = async (options: Partial<ClubOptions> = {}) => {
  club = await Club.open({ at: "2027-01-15T18:00:00Z", script: SCRIPT, ...options });
};
/** Minutes after six in the evening (UTC) at which the whole group was told. */
const repeats = (sent: Awaited<ReturnType<Club["until"]>>) =>
  sent
    .filter(({ text }) => text.includes("nobody looks yet"))
    .map(({ at }) => (at - Date.parse("2027-01-15T18:00:00Z")) / 60_000);

describe("a danger that was logged", () => {
  test("is answered at once and repeated to the group by name after half an hour, until somebody takes it", async () => {
    await open();
    const [at_once] = await club.say("Tomasz", "it is 3");
    expect(at_once).toMatchObject({ silent: false });
    expect(at_once?.text).toContain("2 K under its floor of 5 °C");
    const sent = await club.until("2027-01-15T19:10:00Z");
    expect(repeats(sent)).toEqual([30, 60]);
    expect(sent[0]?.text).toMatch(/^❄ To all in Glasshouse: nobody looks yet\. Long House 3 °C, floor 5 °C/);
    expect(sent[0]?.text).toContain("electrician");
    await club.press("Priya", "I do");
    expect(repeats(await club.until("2027-01-16T05:00:00Z"))).toEqual([]);
  });

  test.each([
    ["I do", "Ines looks after it"],
    ["all well again", "All well again; the alarm is closed."],
    ["It is fine again.", "All well again; the alarm is closed."],
    ["I’ll look", "Ines looks after it"],
  ])("ends with %j", async (words, answer) => {
    await open();
    await club.say("Tomasz", "it is 3");
    expect(messages(await club.say("Ines", words))[0]).toContain(answer);
    expect(repeats(await club.until("2027-01-16T05:00:00Z"))).toEqual([]);
  });

  test("ends with the button, with a reading at the floor, with undo and with a correction", async () => {
    await open();
    await club.say("Tomasz", "it is 3");
    await club.press("Priya", "It is fine again");
    expect(repeats(await club.until("2027-01-15T18:50:00Z"))).toEqual([]);

    await club.say("Tomasz", "it is 1");
    expect(messages(await club.say("Priya", "bench is 14"))[0]).not.toContain("closed");
    expect(messages(await club.say("Priya", "it is 6"))[0]).toContain(
      "Long House is at its floor or above again; the alarm is closed.",
    );
    expect(repeats(await club.until("2027-01-15T19:50:00Z"))).toEqual([]);

    await club.say("Tomasz", "it is 1");
    await club.say("Tomasz", "undo");
    expect(repeats(await club.until("2027-01-15T21:00:00Z"))).toEqual([]);

    await club.say("Tomasz", "it is 1");
    await club.say("Tomasz", "no, 8");
    expect(repeats(await club.until("2027-01-16T00:00:00Z"))).toEqual([]);
  });

  test("its labels typed when nothing is wrong are talk", async () => {
    await open({ script: {} });
    expect(await club.say("Ines", "I do")).toEqual([]);
  });

  test("once taken, opens again only when it gets worse", async () => {
    await open();
    await club.say("Tomasz", "it is 3");
    await club.say("Ines", "I do");
    await club.say("Ines", "it is 2.7");
    expect(repeats(await club.until("2027-01-15T19:00:00Z"))).toEqual([]);
    await club.say("Ines", "it is 1");
    expect(repeats(await club.until("2027-01-15T19:40:00Z"))).toEqual([90]);
  });

  test("several are repeated in one message; power that is back ends its own", async () => {
    await open();
    await club.say("Tomasz", "power cut");
    await club.say("Tomasz", "it is 3");
    const sent = await club.until("2027-01-15T18:45:00Z");
    expect(repeats(sent)).toEqual([30]);
    expect(sent[0]?.text).toMatch(/Power cut.* and Long House 3 °C/);
    expect(messages(await club.say("Priya", "power is back"))[0]).toContain("Power is back");
    const after = await club.until("2027-01-15T19:10:00Z");
    expect(after[0]?.text).not.toContain("ower cut");
  });

  test("is not repeated for ever; the morning still names it", async () => {
    await open();
    await club.say("Tomasz", "it is 3");
    const sent = await club.until("2027-01-16T23:00:00Z");
    expect(repeats(sent).length).toBe(12);
    const morning = sent.filter((message) => localTime(message, ZONE) === "2027-01-16T07:30");
    expect(morning[0]?.text).toContain("Long House 3 °C, floor 5 °C: nobody has looked yet.");
  });
});

describe("cold outdoors", () => {
  const night = (outdoorC: number, indoorC: number, on: string) => async (store: JournalStore) => {
    const from = Temporal.Instant.from(`${on}T04:00:00Z`);
    const places = await store.places();
    for (const [quantity, value, placeId] of [
      ["outdoor_temperature", outdoorC, null],
      ["air_temperature", indoorC, places[0]?.id ?? null],
    ] as const) {
      await store.addEntry({
        act: "reading",
        entry: { act: "reading" },
        collectionId: null,
        placeId,
        from,
        to: from,
        reading: { quantity, statistic: "min", value },
        authorId: null,
        person: null,
        chatId: null,
        messageId: null,
        rawText: "min",
        interpretation: null,
        note: null,
        amends: null,
      });
    }
  };
  const outdoors = (value: number): Entry => ({
    act: "reading",
    reading: { quantity: "outdoor_temperature", statistic: "min", value, unit: "Cel" },
  });

  test("beyond what the place stood so far is an alarm; milder is none, and so is a first winter", async () => {
    const script = { "minus 6 outside": log(outdoors(-6)), "minus 14 outside": log(outdoors(-14)) };
    await open({ script });
    expect(messages(await club.say("Ines", "minus 14 outside"))[0]).not.toContain("Who looks?");
    for (const [index, outdoorC] of [-3, -5, -6, -8, -7].entries()) {
      await club.within(night(outdoorC, 5.5, `2027-01-0${index + 1}`));
    }
    expect(messages(await club.say("Ines", "minus 6 outside"))[0]).not.toContain("Who looks?");
    expect(messages(await club.say("Ines", "minus 14 outside"))[0]).toMatch(
      /^❄ −14 °C outdoors; Long House held its floor down to −8 °C so far\.\n[\s\S]*Who looks\?$/,
    );
    const sent = await club.until("2027-01-15T18:40:00Z");
    expect(sent[0]?.text).toContain("nobody looks yet");
    expect(messages(await club.say("Ines", "minus 6 outside"))[0]).toContain("No longer too cold outdoors");
  });
});

describe("quiet hours", () => {
  test("hold repeats back until they end, and the first alarm makes no sound", async () => {
    await open({ at: "2027-01-15T21:00:00Z" });
    await club.say("Ines", "quiet 21 to 7");
    const [at_once] = await club.say("Tomasz", "it is 3");
    expect(at_once?.silent).toBe(true);
    const sent = await club.until("2027-01-16T06:10:00Z");
    expect(sent.map((message) => localTime(message, ZONE))).toEqual(["2027-01-16T07:00"]);
  });

  test("are broken where the group allowed it when it was asked, once", async () => {
    await open({ at: "2027-01-15T21:00:00Z" });
    await club.say("Ines", "quiet 21 to 7");
    expect(club.lastMessage()).toMatchObject({
      text: "May I wake you when plants are at risk, also at night?",
      buttons: ["Yes, wake us", "Not at night"],
    });
    await club.press("Ines", "Yes, wake us");
    expect(messages(await club.say("Ines", "we have a frame")).join()).not.toContain("May I wake");
    const [at_once] = await club.say("Tomasz", "it is 3");
    expect(at_once?.silent).toBe(false);
    const sent = await club.until("2027-01-15T22:05:00Z");
    expect(sent.map((message) => localTime(message, ZONE))).toEqual(["2027-01-15T22:30", "2027-01-15T23:00"]);
  });
});
