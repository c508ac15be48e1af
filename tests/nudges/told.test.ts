import { afterEach, describe, expect, test } from "vitest";
import type { Interpretation } from "../../bot/language/interpretation.js";
import { Club, localTime, messages } from "./club.js";

const ZONE = "Europe/Warsaw";
let club: Club;
afterEach(() => club.close());

const SCRIPT: Record<string, Interpretation> = {
  "remind Tomasz on Friday to test the heater": {
    kind: "instruct",
    instruction: {
      do: "remind",
      text: "test the heater",
      person: "Tomasz",
      when: { from: "2027-01-15T00:00", to: "2027-01-16T00:00", grain: "day" },
    },
  },
  "remind us at 16:40 to close the vents": {
    kind: "instruct",
    instruction: {
      do: "remind",
      text: "close the vents",
      when: { from: "2027-01-13T16:40", to: "2027-01-13T16:40", grain: "moment" },
    },
  },
  "skip the gasterias till February": {
    kind: "instruct",
    instruction: {
      do: "snooze",
      subjects: [{ genus: "Gasteria" }],
      when: { from: "2027-02-01T00:00", to: "2027-03-01T00:00", grain: "month" },
    },
  },
  "what's due?": { kind: "ask", question: { about: "due" } },
  "what's due until 10 February": {
    kind: "ask",
    question: { about: "due", when: { from: "2027-02-10T00:00", to: "2027-02-11T00:00", grain: "day" } },
  },
  "what about the warm bench": { kind: "ask", question: { about: "due", place: "Warm Bench" } },
  "are the haworthias due": { kind: "ask", question: { about: "due", subjects: [{ genus: "Haworthia" }] } },
  "why?": { kind: "ask", question: { about: "why" } },
  "min 3": {
    kind: "log",
    entries: [
      {
        act: "reading",
        place: "Warm Bench",
        reading: { quantity: "air_temperature", statistic: "min", value: 3, unit: "Cel" },
      },
    ],
  },
};
const open = async () => {
  club = await Club.open({
    at: "2027-01-13T09:00:00Z",
    script: SCRIPT,
    holdings: [
      { genus: "Gasteria", place: "Long House", watered: "2026-12-18" },
      { genus: "Haworthia", place: "Long House", watered: "2027-01-10" },
      { genus: "Echeveria", place: "Warm Bench", watered: "2026-12-20" },
    ],
  });
};

describe("reminders that people asked for", () => {
  test("come at the morning hour of their day, to who was named", async () => {
    await open();
    await club.say("Ines", "remind Tomasz on Friday to test the heater");
    const sent = await club.until("2027-01-16T12:00:00Z");
    const told = sent.filter(({ text }) => text.includes("heater"));
    expect(told.map((message) => localTime(message, ZONE))).toEqual(["2027-01-15T07:30"]);
    expect(told[0]?.text).toBe("Tomasz: test the heater (asked by Ines).");
  });

  test("come at the minute where one was said, and again tomorrow if wanted", async () => {
    await open();
    await club.say("Ines", "remind us at 16:40 to close the vents");
    const sent = await club.until("2027-01-13T18:00:00Z");
    expect(sent.map((message) => localTime(message, ZONE))).toEqual(["2027-01-13T16:40"]);
    expect(sent[0]?.text).toBe("To all: close the vents (asked by Ines).");
    await club.press("Priya", "Again tomorrow");
    await club.press("Priya", "Again tomorrow");
    const again = (await club.until("2027-01-15T18:00:00Z")).filter(({ text }) => text.includes("vents"));
    expect(again.map((message) => localTime(message, ZONE))).toEqual(["2027-01-14T07:30"]);
  });

  test("one that comes late says for when it was", async () => {
    await open();
    await club.say("Ines", "remind Tomasz on Friday to test the heater");
    const sent = await club.downUntil("2027-01-18T10:00:00Z");
    expect(messages(sent).find((text) => text.includes("heater"))).toBe(
      "Tomasz: test the heater (asked by Ines, was for Fri 15 Jan, 3 days ago).",
    );
  });
});

describe("what's due", () => {
  test("lists all that is open, mentioned or not, and what comes next", async () => {
    await open();
    const [words] = messages(await club.say("Ines", "what's due?"));
    expect(words).toMatch(/Long House: gasterias 26 days/);
    expect(words).toMatch(/Warm Bench: echeverias 24 days/);
    expect(words).toMatch(/Next: Haworthia, /);
    await club.until("2027-01-14T09:00:00Z");
    expect(messages(await club.say("Ines", "what's due?"))[0]).toMatch(/gasterias 27 days/);
  });

  test("for a place, for plants, until a day", async () => {
    await open();
    const bench = messages(await club.say("Ines", "what about the warm bench"))[0];
    expect(bench).toMatch(/^Warm Bench: echeverias/);
    expect(bench).not.toContain("gasterias");
    expect(messages(await club.say("Ines", "are the haworthias due"))[0]).toMatch(
      /^Nothing due, today\.\nNext: Haworthia, /,
    );
    expect(messages(await club.say("Ines", "what's due until 10 February"))[0]).toContain("haworthias");
  });

  test("what waits says why, and “why?” shows the windows", async () => {
    await open();
    await club.say("Tomasz", "min 3");
    await club.say("Tomasz", "what's due?");
    expect(club.lastMessage().text).toMatch(/echeverias.*3 °C/);
    const [why] = messages(await club.say("Ines", "why?"));
    expect(why).toMatch(
      /Gasteria, Long House: last Fri 18 Dec \(Ines\); .* in winter every .*; so from .* to .*, best /,
    );
    expect(why).toMatch(/Echeveria, Warm Bench: .*waits: nights of 3 °C/);
  });

  test("a snooze keeps them out until its day", async () => {
    await open();
    await club.say("Ines", "skip the gasterias till February");
    const january = await club.until("2027-01-31T12:00:00Z");
    expect(messages(january).some((text) => /^Long House.*gasterias/m.test(text))).toBe(false);
    const february = await club.until("2027-02-03T12:00:00Z");
    expect(messages(february).some((text) => /Long House:.*gasterias/.test(text))).toBe(true);
  });
});
