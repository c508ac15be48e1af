import { moment, stamp } from "../../calendar/civil.js";
import type { When } from "../../interpretation.js";
import { type Item, is, isAct, says, unread, value } from "../../item.js";
import { durationIn } from "./duration.js";
import { plainly } from "./short.js";
import { type InstructionRule, type InstructionView, order, personIn, whenIn } from "./view.js";

/** "Priya covers" of somebody who has not written yet: a name with a capital right before the word. */
function newcomer(view: InstructionView, cover: number): { person: string; at: number } | undefined {
  const item = view.items[cover - 1];
  const named = item?.token.capital === true && item.senses.length === 0 && !item.subject && !item.time;
  return named ? { person: item.token.text, at: cover - 1 } : undefined;
}

/** "thanksgiving week, the 22nd to the 28th": first and last day say more than the week that they lie in. */
function spanned(view: InstructionView): { when: When; at: number } | undefined {
  const at = view.items.findIndex((item) => item.time?.to !== undefined);
  return at < 0 ? undefined : whenIn(view, "future", at, at + 1);
}

/**
 * The days somebody is away: as named; "until Sunday" from today on, with that day; "for a week from Friday" as many
 * days as were said.
 */
function absenceIn(view: InstructionView): { when: When } | undefined {
  const named = spanned(view) ?? whenIn(view, "future");
  const today = view.message.circumstances.now.day;
  if (named && view.items[named.at]?.time?.open === "until")
    return { when: { from: stamp(today), to: named.when.to, grain: "day" } };
  // "having been away a week, I watered the aloes"
  if (!named && view.items.some((item) => isAct(item, "past"))) return undefined;
  const lasting = durationIn(view);
  if (lasting?.unit !== "day" || (named && named.when.grain !== "day")) return named;
  const from = named ? moment(named.when.from).day : today;
  return { when: { from: stamp(from), to: stamp(from + lasting.count), grain: "day" } };
}

/** A name by its capital, also where the whole message is written in capitals. */
const named = (item: Item | undefined): boolean =>
  item !== undefined && item.token.text[0] !== item.token.text[0]?.toLowerCase();

/** "I shall be in Melbourne from Tuesday until Monday": where one will be that is no place of ours, and how long; or -1. */
function elsewhere({ items, first }: InstructionView): number {
  const where = items.findIndex(
    (item, i) => i <= first + 5 && ["in", "at"].includes(value(item, "prep") ?? "") && named(items[i + 1]),
  );
  const town = items[where + 1];
  const me = items
    .slice(first, Math.max(where, 0))
    .some((item) => is(item, "self") || is(item, "selfwill") || is(item, "selfbe"));
  const strange = unread(town);
  const lasting = items.some((item) => item.time?.to ?? item.time?.open === "until");
  const past = items.slice(first, Math.max(where, 0)).some((item) => says(item, "was then"));
  return where > first && me && !past && strange && lasting ? where : -1;
}

/** "we're away 12 to 26 February, Priya covers". */
export const away: InstructionRule = (view) => {
  const off = view.items.findIndex(
    (item, i) =>
      is(item, "offword") &&
      i > 0 &&
      i <= view.first + 3 &&
      view.items.slice(i).some((one) => one.time?.to || one.time?.span || one.time?.open === "until"),
  );
  const gone = Math.max(order(view, "away"), off, elsewhere(view));
  const cover = order(view, "cover");
  const time = absenceIn(view);
  const known = cover >= 0 || gone >= 0 ? personIn(view.items) : undefined;
  const person = known ?? newcomer(view, cover);
  if (!view.message.addressed && !(cover >= 0 && known && time && plainly(view))) return undefined;
  const self = view.items.some((item) => is(item, "self") || is(item, "selfwill") || is(item, "selfbe"));
  if (gone >= 0 && (time || person) && (self || person || gone <= view.first + 1)) {
    return { do: "away", ...(time && { when: time.when }), ...(person && { person: person.person }) };
  }
  if (cover >= 0 && person && time) return { do: "away", when: time.when, person: person.person };
  return undefined;
};
