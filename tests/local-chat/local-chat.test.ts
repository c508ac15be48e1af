import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { OptionError, readTime } from "../../bot/local-chat/options.js";
import { ChatUnderTest } from "../support/stand-in-chat.js";

let chat: ChatUnderTest;
let dataDir: string;

beforeEach(() => {
  dataDir = mkdtempSync(join(tmpdir(), "local-chat-"));
  chat = new ChatUnderTest(dataDir);
});
afterEach(() => rmSync(dataDir, { recursive: true, force: true }));

/** Runs once so that the greeting is behind us. */
const begun = async () => {
  await chat.run([]);
};

describe("a script", () => {
  test("reads line by line and prints each reply with the speaker's name", async () => {
    const { code, lines } = await chat.run(["watered the aloes", "", "  min 4 last night  "]);
    expect(code).toBe(0);
    expect(lines.slice(0, 3).join("\n")).toMatch(/^Areole: .*\n {2}.*\n {2}First: where is the glasshouse/);
    expect(lines.slice(3)).toEqual(["Areole: heard: watered the aloes", "Areole: heard: min 4 last night"]);
    expect(chat.desk.messages[0]).toMatchObject({
      chatKind: "supergroup",
      isPrivate: false,
      addressed: false,
      author: { name: "Keeper" },
    });
    expect(chat.desk.messages[0]?.at.toString()).toBe("2027-01-15T08:00:00Z");
  });

  test("says nothing where the bot is silent, and keeps the order", async () => {
    await begun();
    chat.desk.answer = ({ text }) => (text.startsWith("talk") ? null : { text });
    const { lines } = await chat.run(["talk 1", "one", "talk 2", "two", "three"]);
    expect(lines).toEqual(["Areole: one", "Areole: two", "Areole: three"]);
  });

  test("speaks as the members named, and repeats the lines on demand", async () => {
    await begun();
    const { lines } = await chat.run(["one", "/as Tomasz", "two"], "--as", "Ines", "--echo");
    expect(lines).toEqual([
      "Ines: one",
      "Areole: heard: one",
      "Ines: /as Tomasz",
      "Tomasz: two",
      "Areole: heard: two",
    ]);
    expect(chat.desk.messages.map(({ author }) => author.name)).toEqual(["Ines", "Tomasz"]);
  });

  test("numbers buttons and presses them by number or words", async () => {
    await begun();
    chat.desk.answer = ({ text }) => ({
      text: `${text}\nsecond line`,
      buttons: [
        [
          { label: "Undo", data: "u" },
          { label: "Why", data: "w" },
        ],
        [{ label: "More", data: "m" }],
      ],
    });
    const { lines } = await chat.run(["one", "/press 3", "/press why", "/press 4", "/press"]);
    expect(lines).toEqual([
      "Areole: one",
      "  second line",
      "  [1] Undo  [2] Why",
      "  [3] More",
      "Areole (notice): pressed m",
      "Areole (notice): pressed w",
      "There is no button 4 now.",
      "There is no button without a number now.",
    ]);
  });

  test("rewrites and answers messages", async () => {
    await begun();
    const { lines } = await chat.run(["/edit nothing yet", "one", "/edit two", "/reply three"]);
    expect(lines[0]).toBe("There is no message of yours to rewrite yet.");
    expect(chat.desk.messages).toMatchObject([
      { text: "one", edited: false },
      { text: "two", edited: true },
      { text: "three", replyTo: { fromBot: true, text: "heard: two" }, addressed: true },
    ]);
    expect(chat.desk.messages[1]?.messageId).toBe(chat.desk.messages[0]?.messageId);
  });

  test("keeps files and names them", async () => {
    await begun();
    const base64 = Buffer.from("night,min\n").toString("base64");
    chat.desk.answer = () => ({
      text: "The journal.",
      file: { name: "journal.csv", mime: "text/csv", base64 },
    });
    const { lines } = await chat.run(["export", "export"]);
    const paths = lines.filter((line) => line.startsWith("  file: ")).map((line) => line.slice(8));
    expect(paths.map((path) => readFileSync(path, "utf8"))).toEqual(["night,min\n", "night,min\n"]);
    expect(paths[1]).toMatch(/journal-2\.csv$/);
  });

  test("moves the clock from one due moment to the next", async () => {
    await begun();
    chat.planned = [
      { at: "2027-01-16T06:30:00Z", text: "Morning." },
      { at: "2027-01-16T20:00:00Z", text: "Cold night." },
    ];
    const { lines } = await chat.run([
      "/clock 2027-01-16T08:00",
      "done",
      "/clock 2027-01-16T07:59",
      "/clock soon",
    ]);
    expect(lines).toEqual([
      "[2027-01-16 07:30]",
      "Areole: Morning.",
      "  [1] All done",
      "[2027-01-16 08:00]",
      "Areole: heard: done",
      "The clock only goes forward; it is 2027-01-16T08:00.",
      "/clock must be a date and time, such as 2027-01-15T09:00.",
    ]);
    expect(chat.ticks).toContain("2027-01-16T06:30:00Z");
    expect(chat.ticks.at(-1)).toBe("2027-01-16T07:00:00Z");
    expect(chat.planned).toHaveLength(1);
  });

  test("stops at /quit", async () => {
    await begun();
    expect((await chat.run(["one", "/quit", "two"])).lines).toEqual(["Areole: heard: one"]);
  });

  test("sends what no message can hold in pieces", async () => {
    await begun();
    await chat.run(["a".repeat(5000)]);
    expect(chat.desk.messages.map(({ text }) => text.length)).toEqual([4096, 904]);
  });

  test("is a private chat on demand, where all is said to the bot", async () => {
    await chat.run(["what is due?"], "--private", "--as", "Priya");
    expect(chat.desk.messages).toMatchObject([
      { text: "what is due?", isPrivate: true, addressed: true, author: { name: "Priya" } },
    ]);
  });
});

test("a second run goes on in the same chat with numbers of its own", async () => {
  const first = await chat.run(["one"]);
  const second = await chat.run(["two"], "--as", "Tomasz");
  expect(first.lines).toHaveLength(4);
  expect(second.lines).toEqual(["Areole: heard: two"]);
  const [one, two] = chat.desk.messages;
  expect(two?.chatId).toBe(one?.chatId);
  expect(two?.messageId).toBeGreaterThan(one?.messageId ?? 0);
  expect(new Set(chat.store.stored.map(({ updateId }) => updateId)).size).toBe(chat.store.stored.length);
});

test("says which file of an earlier run it cannot read", async () => {
  await begun();
  writeFileSync(join(dataDir, "local-chat", "state.json"), "{");
  const { code, errors } = await chat.run(["one"]);
  expect(code).toBe(1);
  expect(errors).toMatch(/state\.json cannot be read\. Move it away/);
});

describe("options", () => {
  test.each([
    [["--now", "yesterday"], "--now must be a date and time, such as 2027-01-15T09:00."],
    [["--zone", "Europe/Atlantis"], "--zone must be an IANA time zone, such as Europe/Warsaw."],
    [["--as", " "], "--as needs a name."],
    [["--group", "--private"], "--group and --private exclude each other."],
    [["--colour", "green"], "--colour"],
  ])("%j end the start with a word on what is wrong", async (options, message) => {
    const { code, errors } = await chat.run([], ...options);
    expect(code).toBe(2);
    expect(errors).toContain(message);
  });

  test.each([
    ["2027-01-15T09:00", "2027-01-15T08:00:00Z"],
    ["2027-01-15", "2027-01-14T23:00:00Z"],
    ["2027-01-15T09:00Z", "2027-01-15T09:00:00Z"],
    ["2027-01-15T09:00+02:00", "2027-01-15T07:00:00Z"],
    // Clocks go forward at 02:00: the time that is not there is read as one hour later.
    ["2027-03-28T02:30", "2027-03-28T01:30:00Z"],
  ])("reads the time %s as %s", (typed, instant) => {
    expect(readTime(typed, "Europe/Warsaw", "--now").toString()).toBe(instant);
  });

  test("knows no time in words", () => {
    expect(() => readTime("next Tuesday", "UTC", "--now")).toThrow(OptionError);
  });
});
