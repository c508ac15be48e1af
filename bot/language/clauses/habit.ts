import { type Item, is, isAct, says, shaped, value } from "../item.js";
import type { Head } from "./head.js";

/** "every spring": what comes round again, behind the verb as before it. */
export const recurring = (items: readonly Item[]): boolean =>
  items.some(
    (item, i) =>
      (is(item, "habit") && item.end > item.start + 1 && says(item, "so often")) ||
      (says(item, "each time") && item.end === item.start + 1 && says(items[i + 1], "comes round")),
  );

/** "gasterias flower in spring", "aloes get mushy when they freeze": said of the kind and not of our plants. */
export function general(items: readonly Item[], head: Head): boolean {
  const [name, next] = items;
  if (!name?.subject || name.subject.tag || name.measure || !shaped(name, "plural")) return false;
  if (head.at === 1 && says(next, "does in general")) return true;
  if (head.at <= 2 && (is(next, "act") || says(next, "past as present")) && items.some(inSeason)) return true;
  if (says(next, "tends to become")) return head.at > 1;
  const passive = says(next, "of many now") && head.kind === "verb" && head.at === 2;
  return passive && items.slice(3).some((item) => value(item, "prep") === "by" || is(item, "condition"));
}
/** "in spring": a season with no year and no "this" or "last". */
const inSeason = ({ time, senses }: Item, at: number, items: readonly Item[]): boolean =>
  (time?.span?.kind === "season" && time.span.shift === undefined && time.span.year === undefined) ||
  (senses.some((one) => one.cls === "season") &&
    value(items[at - 1], "prep") === "in" &&
    items[at + 1] === undefined);

/** "repotted cacti should stay dry", "agaves die after they bloom": a verb of its own tells of the kind. */
export function saysOfKind(items: readonly Item[], head: Head): boolean {
  const first = items[0];
  if (head.at === 0 && head.kind === "verb" && items[1]?.subject && shaped(items[1], "plural"))
    return is(items[2], "plan");
  if (!first || !(first.subject ?? is(first, "pest")) || first.subject?.tag) return false;
  const verb = items[1];
  const present = isAct(verb, "base");
  const past = isAct(verb, "past");
  if (head.at > 1 && present && !past && shaped(first, "plural")) return true;
  return says(verb, "fond of");
}
