import type { Act } from "../interpretation.js";
import { type Item, is, value } from "../item.js";
import { actOf, type Clause, COUNTED_ACTS, type Headed, nameIndex } from "./parts.js";

/** Acts that a list of plants, each with its own number or party, goes on with. */
const LISTED_ACTS: ReadonlySet<Act> = new Set<Act>([
  "give_away",
  "acquire",
  "order",
  "sow",
  "graft",
  "repot",
  "lose",
  "prick_out",
  "take_cutting",
]);

const TENDED: ReadonlySet<Act> = new Set<Act>(["water", "mist", "feed", "treat", "clean"]);

/** A part that has no act of its own but goes on with the one before: "... and 3 aloe pups", "Manny did the sunroom". */
export function continues(part: Headed, last: Clause): boolean {
  const act = actOf(last);
  if (!act || last.head?.kind === "base") return false;
  const name = nameIndex(part.items);
  if (part.head?.kind === "seen" && LISTED_ACTS.has(act) && name >= 0 && part.before <= 2) {
    return (
      part.items.slice(0, name).some((item) => item.measure && !item.measure.unit) &&
      !part.items.some((item) => ["in", "on"].includes(value(item, "prep") ?? ""))
    );
  }
  const did = part.items.findIndex((item) => value(item, "light") === "do");
  if (!part.head && did >= 0) return part.items.slice(did).some((item) => item.subject || is(item, "place"));
  if (part.head || part.reading) return false;
  if (name < 0 && anotherTime(part.items, last.items)) return true;
  if (
    part.items.some((item) => item.time) &&
    name < 0 &&
    part.items.some((item) => item.token.key === "again") &&
    last.items.some((item) => item.time)
  )
    return true;
  const place = part.items.some((item) => is(item, "place"));
  return (
    name < 0 &&
    place &&
    last.items.some((item) => is(item, "place")) &&
    (nameIndex(last.items) < 0 || (TENDED.has(act) && part.before === 1)) &&
    act !== "move"
  );
}

type Slot = "time" | "amount" | "place" | "measure" | "name" | "person" | "stock";

function slotsIn(items: readonly Item[], act: Act | undefined): Set<Slot> {
  const found = new Set<Slot>();
  for (const item of items) {
    if (item.time && !item.weakTime) found.add("time");
    if (is(item, "dose") && act === "water") found.add("amount");
    if (is(item, "place")) found.add("place");
    if (item.measure?.unit || item.measure?.ratio !== undefined || item.measure?.strength !== undefined)
      found.add("amount");
    else if (item.measure && act && COUNTED_ACTS.has(act)) found.add("measure");
    if (item.subject) found.add("name");
    if (is(item, "member") || is(item, "kin")) found.add("person");
    if (item.token.key === "i" && is(item, "self")) found.add("person");
    if ((act === "acquire" || act === "order") && ["from", "at"].includes(value(item, "prep") ?? ""))
      found.add("stock");
    if (act === "graft" && ["on", "into"].includes(value(item, "prep") ?? "")) found.add("stock");
  }
  return found;
}

export function startsAnew(last: Clause, part: Headed): boolean {
  const act = actOf(last);
  const mine = slotsIn(part.items, act);
  if (!mine.has("name")) return false;
  const theirs = slotsIn(last.items, act);
  if (!theirs.has("name")) return false;
  if (mine.has("person") && part.before <= 2) return true;
  for (const slot of ["time", "amount", "place", "person", "stock"] as const)
    if (mine.has(slot) && theirs.has(slot)) return true;
  if (act && COUNTED_ACTS.has(act) && (mine.has("measure") || theirs.has("measure"))) return true;
  return part.before === 3 && theirs.has("name");
}

/** "on Monday and Wednesday", "at 7, noon and 5": the same done again at another time. */
function anotherTime(items: readonly Item[], before: readonly Item[]): boolean {
  if (!items.every((item) => item.time || is(item, "prep") || is(item, "det") || is(item, "filler")))
    return false;
  const mine = items.find((item) => item.time)?.time;
  return before.some(
    (item) =>
      item.time && mine && !item.weakTime && ((item.time.day && mine.day) || (item.time.clock && mine.clock)),
  );
}
