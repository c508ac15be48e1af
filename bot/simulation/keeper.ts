import type { Temporal } from "temporal-polyfill";
import { chance } from "./numbers.js";

/** How a household keeps house. */
export const KEEPERS = ["obedient", "lazy", "forgetful", "none"] as const;
export type KeeperKind = (typeof KEEPERS)[number];

export interface Keeper {
  kind: KeeperKind;
  /** Minutes after midnight at which the thermometers are read and at which the work is done. */
  readsAt: number;
  worksAt: number;
  /** Whether the thermometers are read and noted on a day. */
  reads(date: Temporal.PlainDate, frostSeason: boolean): boolean;
  /** Whether a day sees any work at all, and whether one thing is done that day. */
  works(date: Temporal.PlainDate): boolean;
  does(key: string, date: Temporal.PlainDate): boolean;
  /** Acts only on what the morning message of that very day says; else on what was said before too. */
  sameDay: boolean;
  /** Minutes until somebody takes a danger; null: nobody does. */
  takesAfter: number | null;
}

const never = () => false;

/** The keeper of a kind; the same one behaves the same way every time. */
export function keeperOf(kind: KeeperKind): Keeper {
  switch (kind) {
    case "obedient":
      return {
        kind,
        readsAt: 7 * 60 + 5,
        worksAt: 10 * 60,
        reads: (date, frostSeason) => frostSeason || date.dayOfWeek === 7,
        works: () => true,
        does: () => true,
        sameDay: true,
        takesAfter: 12,
      };
    case "lazy":
      return {
        kind,
        readsAt: 8 * 60 + 40,
        worksAt: 15 * 60,
        reads: (date, frostSeason) => (frostSeason ? [1, 4, 7] : [7]).includes(date.dayOfWeek),
        works: (date) => date.dayOfWeek >= 6,
        does: (key, date) => chance("lazy", key, date.toString()) < 0.8,
        sameDay: false,
        takesAfter: 50,
      };
    case "forgetful":
      return {
        kind,
        readsAt: 9 * 60 + 15,
        worksAt: 18 * 60,
        reads: (date) => chance("reads", date.toString()) < 0.2,
        works: (date) => chance("works", date.toString()) < 0.45,
        does: (key, date) => chance("forgetful", key, date.toString()) < 0.25,
        sameDay: false,
        takesAfter: 140,
      };
    case "none":
      return {
        kind,
        readsAt: 0,
        worksAt: 0,
        reads: never,
        works: never,
        does: never,
        sameDay: false,
        takesAfter: null,
      };
  }
}
