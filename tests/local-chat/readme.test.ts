import { spawn } from "node:child_process";
import { readFileSync, rmSync } from "node:fs";
import { join } from "node:path";
import { describe, expect, test, vi } from "vitest";
import { buildVocabulary, interpret, readEnglishLexicon } from "../../bot/language/index.js";
import { readNameRows } from "../../db/names/read.js";
import { freshDataDir } from "../support/pglite.js";

vi.setConfig({ testTimeout: 240_000 });

const ROOT = join(import.meta.dirname, "../..");
const README = readFileSync(join(ROOT, "README.md"), "utf8");
const section = (title: string): string => README.split(`## ${title}\n`)[1]?.split("\n## ")[0] ?? "";

/** What the program prints when these lines are typed, the data directory under its usual name. */
async function printed(lines: readonly string[]): Promise<string> {
  const dataDir = await freshDataDir();
  const args = ["--as", "Ines", "--echo", "--now", "2027-01-15T09:00", "--zone", "Europe/Warsaw"];
  const child = spawn(process.execPath, ["--import", "tsx", "bot/main.ts", ...args, "--data", dataDir], {
    cwd: ROOT,
    env: { PATH: process.env.PATH, HOME: process.env.HOME },
  });
  let out = "";
  for (const stream of [child.stdout, child.stderr]) {
    stream.on("data", (chunk) => {
      out += String(chunk);
    });
  }
  child.stdin.end(lines.map((line) => `${line}\n`).join(""));
  await new Promise((resolve) => child.on("close", resolve));
  rmSync(dataDir, { recursive: true, force: true });
  return out.replaceAll(dataDir, "./data").trimEnd();
}

describe("the README", () => {
  test("shows a first hour as it is printed", async () => {
    const shown = [...section("A first hour").matchAll(/^ {4}(.*)$/gm)].map(([, line]) => line ?? "");
    const hour = shown.slice(
      0,
      shown.findIndex((line) => line.startsWith("printf")),
    );
    const typed = hour.flatMap((line) => /^Ines: (.*)$/.exec(line)?.[1] ?? []);
    expect(typed.length).toBeGreaterThan(10);
    expect(await printed(typed)).toBe(hour.join("\n").trimEnd());
  });

  const sentences = [
    ...section("What to type")
      .replace(/\s+/g, " ")
      .matchAll(/"([^"…]+)"/g),
  ].map(([, sentence]) => sentence ?? "");
  const vocabulary = buildVocabulary(readNameRows(), readEnglishLexicon());
  test.each(sentences)("says to type %j, and that is understood", (sentence) => {
    const places = [
      { name: "Long House", floor: { value: 5, unit: "Cel" }, default: true },
      { name: "Warm Bench", floor: { value: 12, unit: "Cel" } },
    ];
    const household = { locale: "en-GB", units: "metric" as const, latitude: 54, plants: [] };
    const context = {
      ...household,
      places,
      members: ["Ines", "Tomasz", "Priya"],
      now: "2027-01-15T09:00",
      zone: "Europe/Warsaw",
      addressed: true,
    };
    expect(["log", "ask", "instruct"]).toContain(interpret(sentence, context, vocabulary).kind);
  });
});
