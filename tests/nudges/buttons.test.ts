import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { Club, localTime, messages } from "./club.js";

const ZONE = "Europe/Warsaw";
let club: Club;

beforeEach(async () => {
  club = await Club.open({
    at: "2027-01-14T09:00:00Z",
    script: { undo: { kind: "instruct", instruction: { do: "undo" } } },
    holdings: [
      { genus: "Gasteria", place: "Long House", watered: "2026-12-20" },
      { genus: "Haworthia", place: "Long House", watered: "2026-12-20" },
      { genus: "Echeveria", place: "Warm Bench", watered: "2026-12-20" },
    ],
  });
  await club.until("2027-01-15T07:00:00Z");
});
afterEach(() => club.close());

const waterings = () =>
  club.within(async (store) =>
    (await store.entries({ acts: ["water"], order: "written" })).filter(({ chatId }) => chatId !== null),
  );
const edits = (sent: { method: string; text: string }[]) =>
  sent.filter(({ method }) => method === "editMessageText").map(({ text }) => text);

describe("all done", () => {
  test("logs each thing by who pressed, with the dose of the rule, and shows it", async () => {
    const sent = await club.press("Priya", "All done");
    const logged = await waterings();
    expect(logged.map(({ entry }) => entry.subjects?.[0]?.genus).sort()).toEqual([
      "Echeveria",
      "Gasteria",
      "Haworthia",
    ]);
    expect(logged.every(({ person }) => person === "Priya")).toBe(true);
    expect(logged.find(({ entry }) => entry.subjects?.[0]?.genus === "Gasteria")?.entry).toMatchObject({
      act: "water",
      place: "Long House",
      amount: { dose: "sip" },
    });
    expect(edits(sent)[0]).toMatch(/Done by Priya: .*Gasterias, Long House/);
    expect(club.lastMessage().buttons).toEqual(["Undo"]);
  });

  test("pressed by two, or twice, logs once", async () => {
    const { id } = club.lastMessage();
    const { people } = club.standIn;
    const data = [...club.standIn.world.knownChat(club.group).messages.values()]
      .find((message) => message.id === id)
      ?.buttons.flat()[0]?.callback_data as string;
    for (const name of ["Priya", "Ines", "Priya"]) {
      people.pressData(club.group, club.people[name] as number, id, data);
    }
    await club.settle();
    expect(await waterings()).toHaveLength(3);
    const notices = club.heard().filter(({ notice }) => notice);
    expect(notices.map(({ text }) => text)).toEqual([
      "Logged: 3 entries.",
      "That is logged already.",
      "That is logged already.",
    ]);
  });

  test("is taken back in one tap, and can be done again", async () => {
    await club.press("Priya", "All done");
    await club.press("Priya", "Undo");
    expect(await waterings()).toHaveLength(0);
    expect(club.lastMessage().buttons).toContain("All done");
    await club.press("Ines", "All done");
    expect((await waterings()).map(({ person }) => person)).toEqual(["Ines", "Ines", "Ines"]);
  });

  test("typed in words does the same, and “undo” takes it all back", async () => {
    const sent = await club.say("Tomasz", "All done.");
    expect(messages(sent)[0]).toMatch(/Gasteria.*watered.*\n.*Haworthia/);
    expect(await waterings()).toHaveLength(3);
    await club.say("Tomasz", "undo");
    expect(await waterings()).toHaveLength(0);
  });

  test("is talk about something else when nothing is open", async () => {
    await club.press("Priya", "All done");
    expect(await club.say("Tomasz", "all done")).toEqual([]);
  });

  test("what was done does not come back the next days", async () => {
    await club.press("Priya", "All done");
    expect(await club.until("2027-01-20T12:00:00Z")).toEqual([]);
  });

  test("works on a morning of days ago", async () => {
    await club.until("2027-01-17T09:00:00Z");
    await club.press("Priya", "All done");
    expect((await waterings())[0]?.from.toString()).toBe("2027-01-17T09:00:00Z");
  });
});

describe("one by one", () => {
  test("offers each by itself, until none is left", async () => {
    const { id } = club.lastMessage();
    await club.press("Ines", "One by one");
    expect(club.lastMessage().buttons).toEqual([
      "Gasterias, Long House",
      "Haworthias, Long House",
      "Echeverias, Warm Bench",
      "Back",
    ]);
    await club.press("Ines", "Haworthias, Long House");
    expect(club.lastMessage().buttons).toEqual(["Gasterias, Long House", "Echeverias, Warm Bench", "Back"]);
    expect(club.lastMessage().id).toBe(id);
    await club.press("Priya", "Echeverias, Warm Bench");
    await club.press("Priya", "Gasterias, Long House");
    expect(club.lastMessage().text).toMatch(
      /Done by Priya: Gasterias, Long House and Echeverias, Warm Bench\.\nDone by Ines: Haworthias/,
    );
    expect(await waterings()).toHaveLength(3);
  });

  test("goes back", async () => {
    await club.press("Ines", "One by one");
    await club.press("Ines", "Back");
    expect(club.lastMessage().buttons).toEqual(["All done", "One by one", "Not today", "I take it"]);
  });
});

describe("not today, and who takes it", () => {
  test("puts off for a day: the next morning says it again", async () => {
    await club.press("Ines", "Not today");
    expect(club.lastMessage().text).toContain("Put off until tomorrow (Ines).");
    const sent = await club.until("2027-01-16T09:00:00Z");
    expect(sent.map((message) => localTime(message, ZONE))).toEqual(["2027-01-16T07:30"]);
    expect(sent[0]?.text).toContain("gasterias");
  });

  test("names who takes it, in the message and in words", async () => {
    await club.press("Tomasz", "I take it");
    expect(club.lastMessage().text).toContain("Tomasz takes it today.");
    expect(messages(await club.say("Priya", "I take it"))).toEqual(["Priya takes today's tasks."]);
  });

  test("“done” counts in a reply to the morning, not by itself", async () => {
    const { id } = club.lastMessage();
    expect(await club.say("Priya", "done")).toEqual([]);
    await club.say("Priya", "Done", id);
    expect(await waterings()).toHaveLength(3);
  });

  test("typed in a reply", async () => {
    const { id } = club.lastMessage();
    expect(messages(await club.say("Priya", "not today", id))[0]).toMatch(
      /^Put off until tomorrow \(Priya\)/,
    );
  });
});

test("a made-up button of a client does nothing", async () => {
  const { id } = club.lastMessage();
  for (const data of [
    "m:all:nonsense",
    "m:i99:0198f000-0000-7000-8000-000000000000",
    "m::",
    "again:x",
    "away:stay:x",
  ]) {
    club.standIn.people.pressData(club.group, club.people.Ines as number, id, data);
    await club.settle();
  }
  expect(await waterings()).toEqual([]);
});
