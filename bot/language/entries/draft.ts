import type { TimeExpr } from "../calendar/expression.js";
import type { Head } from "../clauses/head.js";
import type { Entry } from "../interpretation.js";
import { type Item, value } from "../item.js";
import type { Token } from "../tokenise.js";

/** What a clause says, before anything is inherited. */
export interface Draft {
  entry: Entry;
  /** The clause names its doer, or says "I". */
  ownDoer: boolean;
  /** A pronoun stands for the subjects of the clause before. */
  pronoun: boolean;
  /** "the same day". */
  sameTime: boolean;
  /** "the next day": so many days after the clause before. */
  later?: number;
  /** The time that the clause itself tells, before it is settled. */
  time?: TimeExpr;
  /** Items that filled a slot. */
  used: Set<number>;
}

export interface ClauseView {
  items: readonly Item[];
  head: Head;
  tokens: readonly Token[];
}

/** "I think", "probably"; "about" only before a number. */
export const doubtful = (items: readonly Item[], at: number): boolean => {
  const doubt = value(items[at], "tentative");
  return (
    doubt === "think" ||
    (doubt === "near" && (items[at + 1]?.measure !== undefined || items[at + 2]?.measure !== undefined))
  );
};

/** The words from one token to another as they were written. */
export const textOf = (tokens: readonly Token[], from: number, end: number): string => {
  let text = "";
  for (let i = from; i < end; i++) {
    const token = tokens[i] as Token;
    text += (i > from ? (token.hyphen ? "-" : token.glued ? "" : " ") : "") + token.text;
  }
  return text;
};
