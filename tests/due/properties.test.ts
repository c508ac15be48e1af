import fc from "fast-check";
import { Temporal } from "temporal-polyfill";
import { describe, expect, test } from "vitest";
import { CareHistory } from "../../bot/horticulture/due/history.js";
import type { DuePlace, DuePlant, DueSetting } from "../../bot/horticulture/due/types.js";
import { waterState } from "../../bot/horticulture/due/water.js";
import { seasonOn } from "../../bot/horticulture/seasons.js";
import { knowledge } from "../horticulture/knowledge.js";
import { day, place, plant } from "./support.js";

/** Over the whole care table: what must hold for every taxon, day, place and history. */

const taxa = [...knowledge.lookup.table.taxa.values()].filter(
  ({ rank }) => rank === "genus" || rank === "species",
);

const anyTaxon = fc.constantFrom(...taxa).map(({ name }) => {
  const [genus = "", ...species] = name.split(" ");
  return { genus, species: species.length === 0 ? null : species.join(" ") };
});
const anyDay = fc.integer({ min: 0, max: 1460 }).map((days) => day("2026-01-01").add({ days }));
const anyPot = fc.record({
  potMaterial: fc.constantFrom(null, "terracotta", "plastic", "glazed", "net"),
  potDiameterCm: fc.option(fc.integer({ min: 3, max: 60 })),
});
const anyPlace = fc.record({
  meanMinC: fc.option(fc.double({ min: -5, max: 25, noNaN: true })),
  nights: fc.integer({ min: 0, max: 21 }),
  floorC: fc.option(fc.integer({ min: 0, max: 18 })),
  coldestC: fc.option(fc.double({ min: -10, max: 25, noNaN: true })),
  dampestLeastRh: fc.option(fc.integer({ min: 20, max: 100 })),
  vpdKPa: fc.option(fc.double({ min: 0, max: 4, noNaN: true })),
});
/** Days between waterings, latest first, before the day. */
const anyGaps = fc.array(fc.integer({ min: 1, max: 80 }), { maxLength: 8 });

const anySituation = fc.record({ taxon: anyTaxon, on: anyDay, pot: anyPot, place: anyPlace, gaps: anyGaps });
type Situation = typeof anySituation extends fc.Arbitrary<infer T> ? T : never;

function parts({ taxon, on, pot, place: air, gaps }: Situation, hemisphere: "north" | "south" = "north") {
  const one: DuePlant = plant(taxon.genus, { ...taxon, ...pot, id: "one" });
  const history = new CareHistory();
  let back = on;
  gaps.forEach((gap, index) => {
    back = back.subtract({ days: gap });
    history.add({ id: String(index), act: "water", from: back, to: back, person: null }, ["one"]);
  });
  const where: DuePlace = place({ ...air, latitude: hemisphere === "north" ? 54 : -54 });
  const setting: DueSetting = {
    date: on,
    hemisphere,
    places: new Map([["Long House", where]]),
    defaultPlace: "Long House",
    ownRules: [],
    postponements: [],
  };
  return { one, history, setting };
}

const stateOf = (situation: Situation, hemisphere: "north" | "south" = "north") => {
  const { one, history, setting } = parts(situation, hemisphere);
  return waterState(one, setting, history, knowledge);
};
const ruleOn = (situation: Situation, on = situation.on) => {
  const { taxon } = situation;
  const found = knowledge.lookup.find(taxon.species ? `${taxon.genus} ${taxon.species}` : taxon.genus);
  if (!found) throw new Error(`${taxon.genus} has no rule`);
  return found.rules[seasonOn(on)].water;
};

describe("every taxon, day, place and history", () => {
  test("nothing is due in a rest without water", () => {
    fc.assert(
      fc.property(anySituation, (situation) => {
        if (ruleOn(situation).mode !== "none") return;
        expect(stateOf(situation).state).toBe("dry rest");
      }),
      { numRuns: 3000 },
    );
  });

  test("nothing is due before the early edge of its rule, unless the household's habit says so", () => {
    fc.assert(
      fc.property(anySituation, (situation) => {
        const state = stateOf(situation);
        const last = situation.gaps[0];
        const { days } = ruleOn(situation);
        if (state.state !== "open" || state.item.status === "early" || last === undefined || days === null)
          return;
        if (state.item.pulls.some(({ by }) => by === "habit")) {
          expect(last).toBeGreaterThanOrEqual(Math.floor(days[0] / 2));
        } else expect(last).toBeGreaterThanOrEqual(days[0]);
      }),
      { numRuns: 5000 },
    );
  });

  test("nothing is silent after the late edge of its rule without a named reason", () => {
    fc.assert(
      fc.property(anySituation, (situation) => {
        const state = stateOf(situation);
        const last = situation.gaps[0];
        const { days } = ruleOn(situation);
        if (last === undefined || days === null || last <= days[1]) return;
        if (state.state === "dry rest") return; // the place is still in its rest, or already
        if (state.state === "no rule") throw new Error("no rule");
        const { item } = state;
        const named = item.held !== null || item.afterRest || item.pulls.some(({ by }) => by === "habit");
        const waking = item.pulls.some(({ by }) => by === "after rest");
        if (!named && !waking) {
          expect(state.state).toBe("open");
          expect(item.status).not.toBe("early");
        }
      }),
      { numRuns: 5000 },
    );
  });

  test("windows are in order and hold the day on which it is due", () => {
    fc.assert(
      fc.property(anySituation, (situation) => {
        const state = stateOf(situation);
        if (state.state !== "open" && state.state !== "not yet") return;
        const { window, dueOn, ridesFrom } = state.item;
        const order = [window[0], ridesFrom, dueOn, window[1]];
        for (const [index, date] of order.slice(1).entries()) {
          expect(Temporal.PlainDate.compare(order[index] as Temporal.PlainDate, date)).toBeLessThanOrEqual(0);
        }
      }),
      { numRuns: 3000 },
    );
  });

  test("the same inputs give the same answer, and are left as they were", () => {
    fc.assert(
      fc.property(anySituation, (situation) => {
        const { one, history, setting } = parts(situation);
        const before = JSON.stringify({ one, setting });
        const first = JSON.stringify(waterState(one, setting, history, knowledge));
        expect(JSON.stringify(waterState(one, { ...setting }, history, knowledge))).toBe(first);
        expect(JSON.stringify({ one, setting })).toBe(before);
      }),
      { numRuns: 500 },
    );
  });

  test("north and south mirror each other: the same day of the other half year, the same answer", () => {
    fc.assert(
      fc.property(anySituation, (situation) => {
        // The 15th of a month has its mirror image in every month.
        const on = situation.on.with({ day: 15 });
        const mirrored = on.add({ months: 6 });
        // Light differs by the sun's distance only a little, but can tip a day: take places without measured warmth.
        const calm = { ...situation, place: { ...situation.place, meanMinC: null, floorC: null } };
        const north = stateOf({ ...calm, on }, "north");
        const south = stateOf({ ...calm, on: mirrored }, "south");
        expect(south.state).toBe(north.state);
        if (north.state === "open" && south.state === "open") {
          expect(south.item.status).toBe(north.item.status);
          expect(south.item.mode).toBe(north.item.mode);
          expect(south.item.care.rule).toBe(north.item.care.rule);
        }
      }),
      { numRuns: 2000 },
    );
  });
});
