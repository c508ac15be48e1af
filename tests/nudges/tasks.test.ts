import { afterEach, describe, expect, test } from "vitest";
import type { Interpretation } from "../../bot/language/interpretation.js";
import { Club, type ClubOptions, messages } from "./club.js";

let club: Club;
afterEach(() => club.close());

const set = (setting: "reminders" | "task_month", value: unknown): Interpretation => ({
  kind: "instruct",
  instruction: { do: "set", setting, value },
});
const SCRIPT: Record<string, Interpretation> = {
  "no winter readiness": set("reminders", { task: "winter readiness", off: true }),
  "no frost reminders": set("reminders", { frost: false }),
  "winter readiness again": set("reminders", { task: "winter readiness", off: false }),
  "min 7": {
    kind: "log",
    entries: [
      {
        act: "reading",
        place: "Long House",
        reading: { quantity: "air_temperature", statistic: "min", value: 7, unit: "Cel" },
      },
    ],
  },
};
const open = async (options: Partial<ClubOptions>) => {
  club = await Club.open({
    at: "2027-09-20T09:00:00Z",
    script: SCRIPT,
    // In its rest, and so silent.
    holdings: [{ genus: "Copiapoa", place: "Long House", watered: "2027-09-19" }],
    ...options,
  });
};
const acts = () =>
  club.within(async (store) =>
    (await store.entries({ order: "written" }))
      .filter(({ chatId }) => chatId !== null)
      .map(({ act, person }) => `${act} ${person}`),
  );

describe("tasks of the calendar", () => {
  test("come before the frost, are tapped away one by one, and do not come back", async () => {
    await open({ tasks: ["frost"] });
    const sent = await club.until("2027-09-22T12:00:00Z");
    expect(messages(sent).join("\n")).toMatch(/insulation up/i);
    await club.press("Tomasz", "One by one");
    const label = club.lastMessage().buttons.find((text) => /^Insulation up/.test(text)) as string;
    await club.press("Tomasz", label);
    expect(await acts()).toEqual(["insulate Tomasz"]);
    const later = messages(await club.until("2027-10-12T12:00:00Z")).join("\n");
    expect(later).not.toMatch(/insulation up/i);
  });

  test.each(["no winter readiness", "no frost reminders"])("%j switches them off", async (words) => {
    await open({ tasks: ["frost"] });
    await club.say("Ines", words);
    expect(messages(await club.until("2027-09-22T12:00:00Z")).join("\n")).not.toMatch(/heater/);
    await club.say("Ines", "winter readiness again");
    expect(messages(await club.until("2027-09-24T12:00:00Z")).join("\n")).toMatch(/heater/);
  });

  test("a missing minimum is asked for in the morning and cannot be tapped away", async () => {
    await open({ tasks: ["minimum"], at: "2027-11-10T09:00:00Z" });
    const sent = (await club.until("2027-11-14T12:00:00Z")).filter(({ text }) => /no minimum/.test(text));
    expect(messages(sent)).toEqual(["❄ Long House and Warm Bench: no minimum noted."]);
    expect(sent[0]?.buttons).toEqual([]);
    await club.say("Ines", "min 7");
    const later = messages(await club.until("2027-11-16T12:00:00Z")).filter((text) =>
      /no minimum/.test(text),
    );
    expect(later).toEqual(["❄ Warm Bench: no minimum noted."]);
  });

  test("a repotting season is seen to by itself, not with “all done”, and logs no repotting", async () => {
    await open({
      tasks: ["repot"],
      at: "2027-02-20T09:00:00Z",
      holdings: [
        { genus: "Aloe", place: "Warm Bench", watered: "2027-01-10" },
        { genus: "Haworthia", place: "Warm Bench", watered: "2027-01-10" },
      ],
    });
    await club.until("2027-02-21T12:00:00Z");
    await club.press("Ines", "All done");
    expect(await acts()).toEqual(["water Ines", "water Ines"]);
    expect(club.lastMessage().buttons).toContain("Done");
    await club.press("Ines", "Done");
    expect(await acts()).toContain("note Ines");
    expect((await acts()).some((entry) => entry.startsWith("repot"))).toBe(false);
  });
});
