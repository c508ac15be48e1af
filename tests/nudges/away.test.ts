import { afterEach, describe, expect, test } from "vitest";
import type { Interpretation } from "../../bot/language/interpretation.js";
import { Club, localTime, messages } from "./club.js";

const ZONE = "Europe/Warsaw";
let club: Club;
afterEach(() => club.close());

const away = (from: string, to: string, person?: string): Interpretation => ({
  kind: "instruct",
  instruction: {
    do: "away",
    when: { from: `${from}T00:00`, to: `${to}T00:00`, grain: "day" },
    ...(person ? { person } : {}),
  },
});
const SCRIPT: Record<string, Interpretation> = {
  "we're away 12 to 26 February, Priya covers": away("2027-02-12", "2027-02-27", "Priya"),
  "we're away 12 to 26 February": away("2027-02-12", "2027-02-27"),
  "away until Sunday, Priya covers": away("2027-02-10", "2027-02-15", "Priya"),
  "we're away": { kind: "instruct", instruction: { do: "away" } },
  "Priya covers": { kind: "instruct", instruction: { do: "away", person: "Priya" } },
  "watered the gasterias": {
    kind: "log",
    entries: [{ act: "water", subjects: [{ genus: "Gasteria" }], place: "Long House" }],
  },
  "min 6": {
    kind: "log",
    entries: [
      {
        act: "reading",
        place: "Long House",
        reading: { quantity: "air_temperature", statistic: "min", value: 6, unit: "Cel" },
      },
    ],
  },
};
const open = async () => {
  club = await Club.open({
    at: "2027-02-10T09:00:00Z",
    script: SCRIPT,
    holdings: [
      { genus: "Gasteria", place: "Long House", watered: "2027-01-28" },
      { genus: "Echeveria", place: "Warm Bench", watered: "2027-02-08" },
      { genus: "Copiapoa", place: "Long House", watered: "2026-10-01" },
    ],
  });
};

describe("away, with cover", () => {
  test("is confirmed with the cover sheet, in words and as one printed page", async () => {
    await open();
    const sent = await club.say("Ines", "we're away 12 to 26 February, Priya covers");
    const [words] = messages(sent);
    expect(words).toMatch(/^Priya covers Fri 12 Feb to Fri 26 Feb; tasks go to Priya by name\./);
    expect(words).toMatch(/💧 \w+ \d+ Feb, Long House: Gasteria a sip each/);
    expect(words).toContain("Stays dry: Long House: Copiapoa.");
    expect(words).toContain("Keep above: Long House 5 °C, Warm Bench 12 °C.");
    expect(words).toContain("electrician");
    expect(words).toContain("In doubt ask Ines.");
    const file = sent.find(({ method }) => method === "sendDocument")?.file;
    expect(file?.name).toBe("cover-sheet-2027-02-12.pdf");
    expect(pagesOf(file?.bytes as Uint8Array)).toBe(1);
  });

  test("tasks go to who covers by name, first day and return are said, the return with a summary once", async () => {
    await open();
    await club.say("Ines", "we're away 12 to 26 February, Priya covers");
    const first = await club.until("2027-02-12T08:00:00Z");
    expect(messages(first).find((text) => text.includes("looks after"))).toBe(
      "Priya looks after the plants from today until Fri 26 Feb. In doubt ask Ines.",
    );
    const during = await club.until("2027-02-20T09:00:00Z");
    expect(messages(during).some((text) => text.startsWith("For Priya:\n"))).toBe(true);
    await club.say("Priya", "watered the gasterias");
    await club.say("Priya", "min 6");
    const back = await club.until("2027-03-05T09:00:00Z");
    const summaries = back.filter(({ text }) => text.startsWith("Back after"));
    expect(summaries.map((message) => localTime(message, ZONE))).toEqual(["2027-02-27T07:30"]);
    expect(summaries[0]?.text).toBe(
      "Back after Fri 12 Feb to Fri 26 Feb:\nPriya: watered once (Gasteria) and 1 reading.\nColdest: Long House 6 °C on Sat 20 Feb.",
    );
    const later = back.filter(({ at }) => at > Date.parse("2027-02-27T12:00:00Z"));
    expect(messages(later).some((text) => text.startsWith("For Priya"))).toBe(false);
  });

  test("an outage over the return still brings the summary once", async () => {
    await open();
    await club.say("Ines", "we're away 12 to 26 February, Priya covers");
    const sent = await club.downUntil("2027-03-01T10:00:00Z");
    expect(messages(sent).filter((text) => text.startsWith("Back after"))).toHaveLength(1);
    expect(messages(sent).some((text) => text.includes("looks after"))).toBe(false);
  });

  test("is called off by its button", async () => {
    await open();
    await club.say("Ines", "we're away 12 to 26 February, Priya covers");
    expect(messages(await club.press("Ines", "We stay"))[0]).toMatch(/^Then nobody is away/);
    const sent = await club.until("2027-03-01T10:00:00Z");
    expect(messages(sent).some((text) => /For Priya|looks after|Back after/.test(text))).toBe(false);
  });

  test("said anew, the later one counts", async () => {
    await open();
    await club.say("Ines", "we're away 12 to 26 February");
    await club.say("Ines", "we're away 12 to 26 February, Priya covers");
    const sent = await club.until("2027-03-01T10:00:00Z");
    expect(messages(sent).filter((text) => text.startsWith("Back after"))).toHaveLength(1);
    expect(messages(sent).filter((text) => text.includes("looks after"))).toHaveLength(1);
  });

  test("who covers may be named afterwards; without dates it asks for them", async () => {
    await open();
    expect(messages(await club.say("Ines", "we're away"))[0]).toMatch(/^From when to when\?/);
    expect(messages(await club.say("Ines", "we're away 12 to 26 February"))[0]).toContain(
      "To name who covers: “Priya covers”.",
    );
    expect(messages(await club.say("Ines", "Priya covers"))[0]).toMatch(/^Priya covers Fri 12 Feb/);
  });

  test("begun today, the sheet is for the days that are left", async () => {
    await open();
    const [words] = messages(await club.say("Ines", "away until Sunday, Priya covers"));
    expect(words).toMatch(/^Priya covers Wed 10 Feb to Sun 14 Feb/);
    const sent = await club.until("2027-02-11T09:00:00Z");
    expect(messages(sent).every((text) => text.startsWith("For Priya:"))).toBe(true);
  });
});

const pagesOf = (pdf: Uint8Array): number =>
  (
    Buffer.from(pdf)
      .toString("latin1")
      .match(/\/Type \/Page\b/g) ?? []
  ).length;
