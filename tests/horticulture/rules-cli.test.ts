import { spawnSync } from "node:child_process";
import { join } from "node:path";
import { describe, expect, test } from "vitest";
import type { RuleLine } from "../../bot/horticulture/rule-line.js";

const ROOT = join(import.meta.dirname, "..", "..");

function rules(args: string[], input = "") {
  const run = spawnSync(process.execPath, ["--import", "tsx", "bot/cli/rules.ts", ...args], {
    cwd: ROOT,
    input,
    encoding: "utf8",
  });
  return { code: run.status, out: run.stdout, err: run.stderr };
}
const lines = (out: string): RuleLine[] =>
  out
    .trimEnd()
    .split("\n")
    .map((line) => JSON.parse(line) as RuleLine);

describe("npm run rules", () => {
  test("prints the genera by basis", () => {
    const { code, out } = rules([]);
    expect(code).toBe(0);
    expect(out).toMatch(/^\d{3} genera, /);
    expect(out).toMatch(/common practice +\d+ +\d+/);
    expect(out).toMatch(/Cactaceae +\d+/);
  });

  test("finds no defect in the files", () => {
    expect(rules(["--check"])).toMatchObject({ code: 0, out: "" });
  });

  test("answers every name with one line, in order, whatever it is", () => {
    const asked = [
      "Copiapoa",
      "notocacti",
      "Euphorbia obesa",
      "pachys",
      "no such plant",
      "",
      "Lithops hookeri",
    ];
    const { code, out } = rules(["--json"], `${asked.join("\n")}\n`);
    expect(code).toBe(0);
    const told = lines(out);
    expect(told.map((line) => line.asked)).toEqual(asked);
    expect(told[0]).toMatchObject({ accepted: "Copiapoa", rank: "genus", speaksFor: "genus" });
    expect(told[1]).toMatchObject({ accepted: "Parodia", speaksFor: "genus" });
    expect(told[2]).toMatchObject({ accepted: "Euphorbia obesa", rank: "species", speaksFor: "species" });
    expect(told[3]).toMatchObject({ speaksFor: null, candidates: ["Pachyphytum", "Pachypodium"] });
    expect(told[4]).toEqual({ asked: "no such plant", accepted: null, rank: null, speaksFor: null });
    expect(told[5]).toMatchObject({ asked: "", speaksFor: null });
    expect(told[6]).toMatchObject({ accepted: "Lithops hookeri", rank: "species", speaksFor: "genus" });
    expect(told[0]?.seasons?.winter).toEqual({
      phase: "resting",
      water: { mode: "none", days: null },
      least: { dry: expect.any(Number), moist: expect.any(Number) },
      light: expect.any(String),
      feed: expect.any(String),
      normal: expect.any(String),
      do: expect.any(String),
      basis: expect.stringMatching(/published|common practice|from memory/),
      source: expect.toSatisfy((source) => source === null || typeof source === "string"),
    });
    expect(told[0]).toMatchObject({
      cycle: expect.stringMatching(/grower$/),
      germination: {
        celsius: [expect.any(Number), expect.any(Number)],
        days: [expect.any(Number), expect.any(Number)],
      },
      cautions: expect.any(Array),
    });
  });

  test("turns the months for the south", () => {
    const [north] = lines(rules(["--json"], "Copiapoa\n").out);
    const [south] = lines(rules(["--json", "--hemisphere", "south"], "Copiapoa\n").out);
    expect(south?.repot).toEqual(north?.repot?.map((month) => ((month + 5) % 12) + 1));
    expect(south?.seasons?.winter.water).toEqual(north?.seasons?.winter.water);
  });

  test("refuses a hemisphere it does not know", () => {
    expect(rules(["--json", "--hemisphere", "west"])).toMatchObject({
      code: 2,
      err: '--hemisphere is north or south, not "west".\n',
    });
  });
});
