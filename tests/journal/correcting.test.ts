import { afterAll, beforeAll, describe, expect, test } from "vitest";
import type { Entry, Instruction } from "../../bot/language/interpretation.js";
import { openEmbeddedStore, type TestStore } from "../support/pglite.js";
import { AGAVE, ALOE, clock, day, GASTERIA, Glasshouse, later, minimum, watered } from "./glasshouse.js";

let ground: TestStore;
beforeAll(async () => {
  ground = await openEmbeddedStore(clock);
});
afterAll(() => ground.end());

type Change = Extract<Instruction, { do: "amend" }>["change"];
const sown: Entry = { act: "sow", subjects: [{ genus: "Copiapoa" }], count: 40 };
const potted: Entry = { act: "repot", subjects: [ALOE], pot: { diameter: { value: 9, unit: "cm" } } };

describe("a correction", () => {
  test.each<[string, Entry, Change, string]>([
    [
      "of the day",
      watered(ALOE),
      { when: day("2027-01-12") },
      "Aloe, Long House: watered, Tue 12 Jan, 3 days ago.",
    ],
    ["of the doer", watered(ALOE), { person: "Tomasz" }, "Aloe, Long House: watered, today, by Tomasz."],
    ["of the place", watered(ALOE), { place: "Warm Bench" }, "Aloe, Warm Bench: watered, today."],
    [
      "of a reading",
      minimum(9),
      { value: { value: 6, unit: "Cel" } },
      "Long House: min 6 °C, night of 14 to 15 Jan.",
    ],
    [
      "of a number of seeds, whatever unit a bare number was given",
      sown,
      { value: { value: 60, unit: "Cel" } },
      "Copiapoa, Long House: 60 seeds sown, today.",
    ],
    [
      "of a pot",
      potted,
      { value: { value: 12, unit: "cm" } },
      "Aloe, Long House: repotted into 12 cm, today.",
    ],
    [
      "of a dose by a volume",
      { ...watered(ALOE), amount: { dose: "sip" } },
      { value: { value: 200, unit: "mL" } },
      "Aloe, Long House: watered, 200 ml, today.",
    ],
    ["of the plants", watered(ALOE), { subjects: [AGAVE] }, "Agave, Long House: watered, today."],
    [
      "of one of the plants",
      watered(ALOE, GASTERIA),
      { removeSubjects: [ALOE], addSubjects: [AGAVE] },
      "Gasteria and Agave, Long House: watered, today.",
    ],
    [
      "that adds",
      watered(ALOE),
      { addSubjects: [GASTERIA] },
      "Aloe and Gasteria, Long House: watered, today.",
    ],
    [
      "that takes out of everything",
      watered({ all: true }),
      { removeSubjects: [ALOE] },
      "Everything but Aloe: watered, today.",
    ],
    [
      "that is certain now",
      { ...watered(ALOE), tentative: true },
      { when: day("2027-01-14") },
      "Aloe, Long House: watered, yesterday.",
    ],
  ])("%s", async (_what, entry, change, line) => {
    const house = await Glasshouse.found(ground.store);
    await house.log(entry);
    expect(await house.amend(change)).toBe(`Changed: ${line}`);
    expect(await house.standing()).toHaveLength(1);
  });

  test("leaves what it replaced in the journal, marked", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE), { text: "watered the aloes" });
    await house.amend({ when: day("2027-01-12") }, { text: "no, that was Tuesday" });
    const all = await house.within((journal) => journal.entries({ order: "written", retracted: true }));
    const [now, before] = all;
    expect(now).toMatchObject({ amends: before?.id, rawText: "watered the aloes\nno, that was Tuesday" });
    expect(before?.retracted).toMatchObject({ reason: "amend", replacedBy: now?.id });
  });

  test("said the next day keeps the time of the entry it does not speak of", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE));
    later({ hours: 24 });
    expect(await house.amend({ subjects: [AGAVE] })).toBe("Changed: Agave, Long House: watered, yesterday.");
    expect(await house.list()).toEqual(["Agave @ Long House"]);
  });

  test.each<[string, Change, string[]]>([
    ["a time all entries of the message", { when: day("2027-01-14") }, ["water", "feed"]],
    ["more plants the last one", { addSubjects: [GASTERIA] }, ["feed"]],
    [
      "plants to leave out the one that names them",
      { removeSubjects: [ALOE], addSubjects: [GASTERIA] },
      ["water"],
    ],
    ["another act the last one", { act: "mist" }, ["mist"]],
  ])("changes with %s", async (_what, change, acts) => {
    const house = await Glasshouse.found(ground.store);
    await house.log([watered(ALOE), { act: "feed", subjects: [AGAVE] }]);
    const { outcome } = await house.say({ kind: "instruct", instruction: { do: "amend", change } });
    expect(outcome.kind === "amended" && outcome.entries.map(({ entry }) => entry.act)).toEqual(acts);
  });

  test("that leaves nothing of an entry takes it back", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE));
    expect(await house.amend({ removeSubjects: [ALOE] })).toBe("Undone: Aloe, Long House: watered, today.");
    expect(await house.standing()).toEqual([]);
  });

  test("of a minimum under the floor is a warning too", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(minimum(9));
    expect(await house.amend({ value: { value: 3, unit: "Cel" } })).toContain("2 K under its floor of 5 °C");
  });

  test("answering a line changes that one, whoever wrote it, and whose it is stays", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE));
    const first = house.lastMessage;
    await house.log(watered(AGAVE), { who: "Tomasz" });
    const replyTo = { messageId: first, fromBot: false };
    expect(await house.amend({ when: day("2027-01-14") }, { who: "Tomasz", replyTo })).toContain("Aloe");
    expect(await house.ask({ about: "last", act: "water", subjects: [ALOE] })).toBe(
      "Aloe: watered, yesterday by Ines, Long House.",
    );
  });

  test.each([
    ["when nothing was logged", async () => {}],
    ["when it was undone", async (house: Glasshouse) => void (await house.undo())],
    ["when it is long ago", async () => later({ hours: 49 })],
  ])("finds nothing %s", async (what, meanwhile) => {
    const house = await Glasshouse.found(ground.store);
    if (what !== "when nothing was logged") await house.log(watered(ALOE));
    await meanwhile(house);
    expect(await house.amend({ when: day("2027-01-12") }, { who: "Ines" })).toMatch(/^No entry of yours/);
  });
});

describe("undo", () => {
  test("takes back the author's latest, not another's", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE));
    await house.log(watered(AGAVE), { who: "Tomasz" });
    expect(await house.undo()).toBe("Undone: Aloe, Long House: watered, today.");
    expect((await house.standing()).map(({ person }) => person)).toEqual(["Tomasz"]);
  });
  test("takes back all that one message logged", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log([watered(ALOE), watered(AGAVE)]);
    expect((await house.undo()).split("\n")).toHaveLength(2);
    expect(await house.standing()).toEqual([]);
  });
  test("of another's entry says whose it was", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE));
    const replyTo = { messageId: house.lastMessage, fromBot: false };
    expect(await house.undo({ who: "Tomasz", replyTo })).toMatch(/^Undone \(Ines's\): Aloe/);
    expect(await house.undo({ who: "Tomasz", replyTo })).toBe("Already undone.");
  });
  test("twice goes one further back, and ends", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE));
    await house.log(watered(AGAVE));
    expect(await house.undo()).toContain("Agave");
    expect(await house.undo()).toContain("Aloe");
    expect(await house.undo()).toMatch(/^Nothing of yours/);
  });
  test("leaves what was logged days ago", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE));
    later({ hours: 60 });
    expect(await house.undo()).toMatch(/^Nothing of yours/);
    expect(await house.standing()).toHaveLength(1);
  });
  test("after a correction takes the correction back, and after that the entry", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE));
    await house.amend({ subjects: [AGAVE] });
    expect(await house.list()).toEqual(["Agave @ Long House"]);
    expect(await house.undo()).toBe("Changed back: Aloe, Long House: watered, today.");
    expect(await house.list()).toEqual(["Aloe @ Long House"]);
    expect(await house.undo()).toBe("Undone: Aloe, Long House: watered, today.");
    expect(await house.list()).toEqual([]);
  });
  test("after the correction of one of two entries leaves the other", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log([watered(ALOE), { act: "feed", subjects: [AGAVE] }]);
    await house.amend({ addSubjects: [GASTERIA] });
    expect(await house.undo()).toBe("Changed back: Agave, Long House: fed, today.");
    expect((await house.standing()).map(({ act }) => act).sort()).toEqual(["feed", "water"]);
  });
});

describe("an edited message", () => {
  const edit = (house: Glasshouse, text: string, entries: Entry[]) =>
    house.say(entries.length > 0 ? { kind: "log", entries } : { kind: "none" }, {
      edited: true,
      messageId: house.lastMessage,
      text,
    });

  test.each<[string, Entry[], string, Entry[], string | null, string[]]>([
    [
      "that says something else",
      [watered(ALOE)],
      "watered the agaves",
      [watered(AGAVE)],
      "Changed: Agave, Long House: watered, today.",
      ["Agave"],
    ],
    [
      "that is no log any more",
      [watered(ALOE)],
      "watered the wine",
      [],
      "Undone: Aloe, Long House: watered, today.",
      [],
    ],
    [
      "that became one",
      [],
      "watered the aloes",
      [watered(ALOE)],
      "Aloe, Long House: watered, today.",
      ["Aloe"],
    ],
    ["whose words are the same", [watered(ALOE)], "before", [watered(ALOE)], null, ["Aloe"]],
    [
      "that says less",
      [watered(ALOE), watered(AGAVE)],
      "watered the aloes",
      [watered(ALOE)],
      "Changed: Aloe, Long House: watered, today.",
      ["Aloe"],
    ],
    [
      "that says more",
      [watered(ALOE)],
      "watered both",
      [watered(ALOE), watered(AGAVE)],
      "Changed: Aloe, Long House: watered, today.\nAgave, Long House: watered, today.",
      ["Agave", "Aloe"],
    ],
  ])("%s", async (_what, before, text, after, said, genera) => {
    const house = await Glasshouse.found(ground.store);
    await house.say(before.length > 0 ? { kind: "log", entries: before } : { kind: "none" }, {
      text: "before",
    });
    const edited = await edit(house, text, after);
    expect(edited.said?.text ?? null).toBe(said);
    expect((await house.standing()).map(({ entry }) => entry.subjects?.[0]?.genus).sort()).toEqual(genera);
    expect(await house.list()).toEqual(genera.map((genus) => `${genus} @ Long House`));
  });

  test("is not logged again once it was undone, unless it says something else", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE), { text: "watered the aloes" });
    const messageId = house.lastMessage;
    await house.undo();
    const again = await house.say(
      { kind: "log", entries: [watered(ALOE)] },
      { edited: true, messageId, text: "watered the aloes" },
    );
    expect(again.outcome.kind).toBe("silent");
    const anew = await house.say(
      { kind: "log", entries: [watered(AGAVE)] },
      { edited: true, messageId, text: "watered the agaves" },
    );
    expect(anew.outcome.kind).toBe("logged");
  });

  test("that was put right keeps that when only its looks change", async () => {
    const house = await Glasshouse.found(ground.store);
    await house.log(watered(ALOE), { text: "watered the aloes" });
    const messageId = house.lastMessage;
    await house.amend({ when: day("2027-01-12") }, { text: "no, that was Tuesday" });
    const again = await house.say(
      { kind: "log", entries: [watered(ALOE)] },
      { edited: true, messageId, text: "watered the aloes" },
    );
    expect(again.outcome.kind).toBe("silent");
    expect(await house.ask({ about: "last", act: "water", subjects: [ALOE] })).toContain("Tue 12 Jan");
  });
});
