import { Temporal } from "temporal-polyfill";
import type { EntryFilter, JournalEntry, JournalStore, ReminderFilter } from "./ports.js";

/**
 * The store with the journal since an instant, the own rules and what was put off read once and kept at hand: what is
 * due is asked of the same entries from many sides. Only for reading within one transaction in which nothing is written meanwhile.
 */
export async function journalSince(store: JournalStore, since: Temporal.Instant): Promise<JournalStore> {
  // Asked together: on a server that is one round trip.
  const [latest, rules, snoozes] = await Promise.all([
    store.entries({ from: since, order: "latest" }),
    store.rules(),
    store.reminders({ kinds: ["snooze"], state: "waiting" }),
  ]);
  const entries = async (filter: EntryFilter): Promise<JournalEntry[]> => {
    if (!answerable(filter, since)) return store.entries(filter);
    const acts = filter.acts && new Set<string>(filter.acts);
    const from = filter.from as Temporal.Instant;
    const found = latest.filter(
      (entry) =>
        (acts === undefined || acts.has(entry.act)) &&
        (filter.placeId === undefined || entry.placeId === filter.placeId) &&
        overlaps(entry, from),
    );
    if (filter.order === "oldest") found.reverse();
    return filter.limit === undefined ? found : found.slice(0, filter.limit);
  };
  const known = new Map<string | symbol, unknown>([
    ["entries", entries],
    ["rules", async () => rules],
    [
      "reminders",
      async (filter: ReminderFilter = {}) => (isSnoozes(filter) ? snoozes : store.reminders(filter)),
    ],
  ]);
  return new Proxy(store, {
    get(target, name) {
      if (known.has(name)) return known.get(name);
      const value = Reflect.get(target, name, target) as unknown;
      return typeof value === "function" ? value.bind(target) : value;
    },
  });
}

const isSnoozes = ({ kinds, state, ...rest }: ReminderFilter): boolean =>
  kinds?.length === 1 && kinds[0] === "snooze" && state === "waiting" && Object.keys(rest).length === 0;

const KNOWN = new Set<string>(["acts", "from", "placeId", "order", "limit"] satisfies (keyof EntryFilter)[]);

function answerable(filter: EntryFilter, since: Temporal.Instant): boolean {
  return (
    Object.keys(filter).every((key) => KNOWN.has(key)) &&
    filter.order !== "written" &&
    filter.from !== undefined &&
    Temporal.Instant.compare(filter.from, since) >= 0
  );
}

/** A moment counts if it is not before; a span if it ends after. */
function overlaps({ from, to }: JournalEntry, since: Temporal.Instant): boolean {
  return Temporal.Instant.compare(from, since) >= 0 || Temporal.Instant.compare(to, since) > 0;
}
