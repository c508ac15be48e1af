import { describe, expect, test } from "vitest";
import { anywhere, powerCuts } from "./power-cuts.js";
import { runSeed } from "./random.js";

/** `AREOLE_POWER_CUTS=200` for the long run. */
const CUTS = Number(process.env.AREOLE_POWER_CUTS ?? 20);
const FIRST_OPERATIONS = 8;
/**
 * Without it, whether a cut does harm is chance: of seeds 1 to 10 six did. These, chosen among them after a look, spare
 * the ones that cut at the very start or leave everything that was written, so that a short run shows the harm.
 */
const SEEDS_WITHOUT = 3;
const CUTS_WITHOUT = 6;

describe("the embedded database after a power cut", () => {
  test(
    `opens, is sound and holds every acknowledged entry, ${CUTS} times of ${CUTS}`,
    async () => {
      const first = runSeed();
      const cuts = await powerCuts(anywhere(CUTS, first), "with");
      const logged = cuts.reduce((sum, cut) => sum + cut.logged, 0);
      process.stdout.write(
        `  power cuts, seeds ${first} to ${first + CUTS - 1}: ${logged} entries acknowledged before them\n`,
      );
      expect(cuts.filter(({ verdict }) => verdict !== "clean")).toEqual([]);
      expect(logged).toBeGreaterThan(CUTS);
    },
    CUTS * 60_000,
  );

  test(
    "opens when the power went while it started",
    async () => {
      // The first operations write the note of who has the directory, which a random cut rarely meets.
      const plans = Array.from({ length: FIRST_OPERATIONS }, (_, index) => ({
        seed: runSeed(),
        at: index + 1,
      }));
      const cuts = await powerCuts(plans, "with");
      expect(cuts.filter(({ verdict }) => verdict !== "clean")).toEqual([]);
    },
    FIRST_OPERATIONS * 60_000,
  );

  test(
    "does not, most times, without the synchronisation we add",
    async () => {
      const cuts = await powerCuts(anywhere(CUTS_WITHOUT, SEEDS_WITHOUT), "without");
      const broken = cuts.filter(({ verdict }) => verdict !== "clean");
      process.stdout.write(
        `  power cuts without it: ${broken.length} of ${CUTS_WITHOUT} leave a damaged database\n`,
      );
      expect(broken.length * 2).toBeGreaterThan(CUTS_WITHOUT);
    },
    CUTS_WITHOUT * 90_000,
  );
});
