import { spawnSync } from "node:child_process";
import { mkdtempSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";
import { afterAll, describe, expect, test } from "vitest";

const ROOT = join(import.meta.dirname, "..", "..");
const DEMO = join(ROOT, "tests", "fixtures", "demo-household.json");
const dir = mkdtempSync(join(tmpdir(), "areole-simulate-"));
afterAll(() => rmSync(dir, { recursive: true }));

function simulated(...args: string[]) {
  const tsx = join(ROOT, "node_modules", ".bin", "tsx");
  const { status, stdout, stderr } = spawnSync(tsx, [join(ROOT, "bot/cli/simulate.ts"), ...args], {
    encoding: "utf8",
    maxBuffer: 64 * 1024 * 1024,
  });
  return { status, lines: stdout.split("\n").filter((line) => line !== ""), stderr };
}
const usual = ["--from", "2026-12-20", "--to", "2027-02-20", "--household", DEMO];

describe("a run", () => {
  const run = simulated(...usual, "--keeper", "obedient");
  test("ends well, with its counts on standard error", () => {
    expect(run.status).toBe(0);
    expect(run.stderr).toMatch(/^62 days: \d+ mornings/);
    expect(run.stderr).toContain("Violations: none.");
  });
  test("prints every line in the shape that was promised", () => {
    expect(run.lines.length).toBeGreaterThan(60);
    for (const text of run.lines) {
      const line = JSON.parse(text);
      expect(line).toMatchObject({
        at: expect.stringMatching(/^\d{4}-\d\d-\d\dT\d\d:\d\d$/),
        type: expect.stringMatching(/^(morning|danger|entry|reading)$/),
      });
      for (const item of line.items) {
        for (const key of ["act", "taxon", "tag", "place", "status", "held", "last", "window"]) {
          expect(item).toHaveProperty(key);
        }
        if (item.act === "water" && item.window !== null) {
          expect(item).toMatchObject({
            status: expect.stringMatching(/^(early|due|overdue)$/),
            window: [expect.stringMatching(/^\d{4}-\d\d-\d\d$/), expect.stringMatching(/^\d{4}-\d\d-\d\d$/)],
            rule: {
              season: expect.any(String),
              phase: expect.any(String),
              mode: expect.any(String),
              days: [expect.any(Number), expect.any(Number)],
              shiftDays: expect.any(Number),
            },
          });
        }
      }
    }
  });
  test("repeats itself to the letter", () => {
    expect(simulated(...usual, "--keeper", "obedient").lines).toEqual(run.lines);
  });
});

test("a latitude below zero turns the seasons", () => {
  const file = join(dir, "south.json");
  const plants = [{ genus: "Mammillaria" }];
  writeFileSync(
    file,
    JSON.stringify({ latitude: -37, zone: "Australia/Melbourne", places: [{ name: "House" }], plants }),
  );
  const watered = (from: string, to: string) =>
    simulated("--from", from, "--to", to, "--household", file).lines.filter((line) =>
      /"type":"entry".*"act":"water"/.test(line),
    ).length;
  expect(watered("2027-06-10", "2027-08-20")).toBe(0);
  expect(watered("2026-12-10", "2027-02-20")).toBeGreaterThan(3);
});

describe("arguments that cannot be used end with one clear sentence and code 2", () => {
  const broken = join(dir, "broken.json");
  writeFileSync(broken, "{ not json");
  const wrong = join(dir, "wrong.json");
  writeFileSync(wrong, JSON.stringify({ places: [{ name: "House", floor: { value: 5, unit: "stone" } }] }));
  const lost = join(dir, "lost.json");
  writeFileSync(
    lost,
    JSON.stringify({ places: [{ name: "House" }], plants: [{ genus: "Aloe", place: "Shed" }] }),
  );
  const zone = join(dir, "zone.json");
  writeFileSync(zone, JSON.stringify({ zone: "Europe/Atlantis" }));
  test.each([
    [["--to", "2027-01-01", "--household", DEMO], /--from is missing/],
    [["--from", "2027-02-30", "--to", "2027-03-01", "--household", DEMO], /"2027-02-30" is no day/],
    [["--from", "2027-01-02", "--to", "2027-01-01", "--household", DEMO], /--to must lie after --from/],
    [["--from", "2027-01-01", "--to", "2027-01-02"], /--household is missing/],
    [[...usual, "--keeper", "diligent"], /"diligent" is none of: obedient, lazy, forgetful, none/],
    [["--from", "2027-01-01", "--to", "2027-01-02", "--household", join(dir, "none.json")], /no such file/],
    [["--from", "2027-01-01", "--to", "2027-01-02", "--household", broken], /is no JSON/],
    [
      ["--from", "2027-01-01", "--to", "2027-01-02", "--household", wrong],
      /"stone" is no unit of temperature/,
    ],
    [["--from", "2027-01-01", "--to", "2027-01-02", "--household", lost], /"Shed" is none of the places/],
    [
      ["--from", "2027-01-01", "--to", "2027-01-02", "--household", zone],
      /"Europe\/Atlantis" is no IANA time zone/,
    ],
    [[...usual, "--speed", "9"], /--speed/],
  ])("%j", (args, sentence) => {
    const { status, lines, stderr } = simulated(...args);
    expect(stderr).toMatch(sentence);
    expect(stderr.trim().split("\n")).toHaveLength(1);
    expect(lines).toEqual([]);
    expect(status).toBe(2);
  });
});
