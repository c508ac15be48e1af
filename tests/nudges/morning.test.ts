import { afterEach, describe, expect, test } from "vitest";
import { Club, type ClubOptions, localTime, messages } from "./club.js";

const ZONE = "Europe/Warsaw";
let club: Club;
afterEach(() => club.close());

/** Gasterias and haworthias are due in the middle of January, aloes later; copiapoas rest dry. */
const WINTER: ClubOptions = {
  at: "2027-01-14T09:00:00Z",
  holdings: [
    { genus: "Gasteria", place: "Long House", watered: "2026-12-20" },
    { genus: "Haworthia", place: "Long House", watered: "2026-12-22" },
    { genus: "Copiapoa", place: "Long House", watered: "2026-10-02" },
  ],
};
const open = async (options: Partial<ClubOptions> = {}) => {
  club = await Club.open({ ...WINTER, ...options });
};

describe("the morning message", () => {
  test("comes at the chat's time in its zone, says what is due, and is not repeated the next day", async () => {
    await open();
    const sent = await club.until("2027-01-16T12:00:00Z");
    expect(messages(sent)).toHaveLength(1);
    expect(localTime(sent[0] as never, ZONE)).toBe("2027-01-15T07:30");
    expect(sent[0]?.text).toMatch(/^Long House: .*gasterias 26 days/);
    expect(sent[0]?.text).not.toContain("copiapoa");
    expect(sent[0]?.buttons.flat().map(({ text }) => text)).toContain("I take it");
  });

  test("says nothing where nothing is due, and goes on the day after something is", async () => {
    await open({ holdings: [{ genus: "Gasteria", place: "Long House", watered: "2027-01-12" }] });
    expect(await club.until("2027-01-20T12:00:00Z")).toEqual([]);
    const sent = await club.until("2027-02-10T12:00:00Z");
    expect(messages(sent)[0]).toMatch(/gasterias \d+ days/);
  });

  test("names the same thing at most every third day", async () => {
    await open();
    const sent = await club.until("2027-02-05T12:00:00Z");
    const days = sent
      .filter(({ text }) => text.includes("gasterias"))
      .map((message) => localTime(message, ZONE).slice(0, 10));
    expect(days.length).toBeGreaterThan(2);
    for (const [index, date] of days.entries()) {
      const before = days[index - 1];
      if (before) expect((Date.parse(date) - Date.parse(before)) / 86_400_000).toBeGreaterThanOrEqual(3);
    }
  });

  test("comes once however often it is looked for, and survives a restart in between", async () => {
    await open();
    club.clock.set((await club.app.nextDue()) as never);
    await Promise.all([club.app.tick(), club.app.tick(), club.app.tick()]);
    await club.settle();
    expect(messages(club.heard())).toHaveLength(1);
    expect(await club.downUntil("2027-01-15T06:31:00Z")).toEqual([]);
    expect(await club.until("2027-01-15T20:00:00Z")).toEqual([]);
  });

  test("an outage of five days ends with one message about what matters now", async () => {
    await open();
    const sent = await club.downUntil("2027-01-20T10:00:00Z");
    expect(messages(sent)).toHaveLength(1);
    expect(sent[0]?.text).toContain("gasterias 31 days");
    expect(await club.until("2027-01-21T12:00:00Z")).toEqual([]);
  });

  test("an outage that ends at night waits for the morning", async () => {
    await open();
    expect(await club.downUntil("2027-01-20T02:00:00Z")).toEqual([]);
    const sent = await club.until("2027-01-20T08:00:00Z");
    expect(sent.map((message) => localTime(message, ZONE))).toEqual(["2027-01-20T07:30"]);
  });

  test("an outage that ends late in the evening leaves it to the next morning", async () => {
    await open();
    expect(await club.downUntil("2027-01-15T21:30:00Z")).toEqual([]);
    const sent = await club.until("2027-01-16T08:00:00Z");
    expect(sent.map((message) => localTime(message, ZONE))).toEqual(["2027-01-16T07:30"]);
  });

  test("skips a chat that removed the bot, and knows what is due when it is back", async () => {
    await open();
    club.standIn.people.removeBot(club.group, club.people.Ines as number);
    await club.settle();
    expect(await club.until("2027-01-18T12:00:00Z")).toEqual([]);
    club.standIn.people.addBot(club.group, club.people.Ines as number, "administrator");
    await club.settle();
    club.heard();
    const sent = await club.until("2027-01-19T12:00:00Z");
    expect(messages(sent)[0]).toContain("gasterias");
  });

  test("a chat that is gone without a word is switched off at the first message", async () => {
    await open();
    const chat = club.standIn.world.knownChat(club.group);
    chat.bot = "kicked";
    await club.until("2027-01-15T12:00:00Z");
    expect(await club.within((store) => store.chats())).toMatchObject([{ active: false }]);
    const before = club.standIn.world.counts.get("sendMessage");
    await club.until("2027-01-19T12:00:00Z");
    expect(club.standIn.world.counts.get("sendMessage")).toBe(before);
  });

  test("a group that became a supergroup keeps its journal and its mornings", async () => {
    await open();
    const old = club.group;
    const upgraded = club.standIn.people.upgrade(club.group);
    await club.settle();
    club.group = upgraded;
    const sent = await club.until("2027-01-16T12:00:00Z");
    expect(sent.filter(({ method }) => method === "sendMessage").map(({ chatId }) => chatId)).toEqual([
      upgraded,
    ]);
    expect(upgraded).not.toBe(old);
  });
});

describe("settings of the morning", () => {
  const set = (setting: string, value: unknown) =>
    ({ kind: "instruct", instruction: { do: "set", setting, value } }) as never;
  const script = {
    "morning message at 9:15": set("reminder_time", "09:15"),
    "morning message at 6:00": set("reminder_time", "06:00"),
    "only at weekends": set("reminder_days", [6, 7]),
    "our zone is Asia/Tokyo": set("zone", "Asia/Tokyo"),
  };

  test("a new time counts from the next morning on", async () => {
    await open({ script });
    await club.say("Ines", "morning message at 9:15");
    const sent = await club.until("2027-01-15T12:00:00Z");
    expect(sent.map((message) => localTime(message, ZONE))).toEqual(["2027-01-15T09:15"]);
  });

  test("a later time on a day that had its message brings no second one", async () => {
    await open({ script });
    await club.until("2027-01-15T07:00:00Z");
    await club.say("Ines", "morning message at 9:15");
    await club.say("Ines", "morning message at 6:00");
    await club.say("Ines", "morning message at 9:15");
    const sent = await club.until("2027-01-19T12:00:00Z");
    expect(sent.map((message) => localTime(message, ZONE))).toEqual(["2027-01-18T09:15"]);
  });

  test("chosen weekdays bring what falls due until the next of them", async () => {
    await open({ script });
    await club.say("Ines", "only at weekends");
    const sent = await club.until("2027-01-31T12:00:00Z");
    expect(sent.length).toBeGreaterThan(1);
    const weekdays = sent.map((message) => new Date(message.at).getUTCDay());
    expect(weekdays.every((weekday) => weekday === 6 || weekday === 0)).toBe(true);
  });

  test("a new zone moves it", async () => {
    await open({ script });
    await club.say("Ines", "our zone is Asia/Tokyo");
    const sent = await club.until("2027-01-15T12:00:00Z");
    expect(sent.map((message) => localTime(message, "Asia/Tokyo"))).toEqual(["2027-01-15T07:30"]);
  });
});
