import { stringify } from "csv-stringify/sync";
import { taxonOf } from "./holdings.js";
import type { JournalEntry } from "./ports.js";
import type { Scope } from "./scope.js";
import { localMinute } from "./time.js";

export const EXPORT_FORMATS = ["csv", "json"] as const;
export type ExportFormat = (typeof EXPORT_FORMATS)[number];

export interface Exported {
  name: string;
  mime: string;
  text: string;
  entries: number;
}

/** Beyond this many the messenger's limit on files comes near. */
const MOST = 200_000;

/** Columns of the table: one row an entry, also those undone or replaced, so that nothing is left out. */
const COLUMNS = [
  "written",
  "from",
  "to",
  "act",
  "plants",
  "except",
  "place",
  "person",
  "value",
  "unit",
  "particulars",
  "words",
  "note",
  "state",
] as const;

/** The whole journal of the household as a file: CSV (RFC 4180) or JSON. Times are local wall-clock. */
export async function exportJournal(scope: Scope, format: ExportFormat): Promise<Exported> {
  const entries = await scope.store.entries({ order: "oldest", retracted: true, limit: MOST });
  const day = localMinute(scope.utterance.at, scope.zone).slice(0, 10);
  const rows = entries.map((entry) => rowOf(entry, scope));
  return format === "json"
    ? {
        name: `journal-${day}.json`,
        mime: "application/json",
        text: JSON.stringify(rows, null, 1),
        entries: rows.length,
      }
    : {
        name: `journal-${day}.csv`,
        mime: "text/csv",
        text: stringify(
          rows.map((row) => ({ ...row, particulars: JSON.stringify(row.particulars) })),
          {
            header: true,
            columns: [...COLUMNS],
            // A cell that a spreadsheet would take for a formula stays text.
            cast: { string: (value) => (/^[=+\-@\t\r]/.test(value) ? `'${value}` : value) },
          },
        ),
        entries: rows.length,
      };
}

function rowOf(entry: JournalEntry, scope: Scope) {
  const { subjects, except, place, person, when: _when, act: _act, reading, ...particulars } = entry.entry;
  const names = (list: typeof subjects) =>
    (list ?? [])
      .map(
        (subject) =>
          subject.tag ??
          subject.group ??
          (subject.all
            ? "everything"
            : [taxonOf(subject), subject.fieldNumber, subject.name].filter(Boolean).join(" ")),
      )
      .join("; ");
  return {
    written: localMinute(entry.writtenAt, scope.zone),
    from: localMinute(entry.from, scope.zone),
    to: localMinute(entry.to, scope.zone),
    act: entry.act,
    plants: names(subjects),
    except: names(except),
    place: scope.places.find((known) => known.id === entry.placeId)?.name ?? place ?? "",
    person: person ?? entry.person ?? "",
    value: reading?.value ?? "",
    unit: reading?.unit ?? "",
    particulars: reading
      ? { ...particulars, quantity: reading.quantity, statistic: reading.statistic }
      : particulars,
    words: entry.rawText,
    note: entry.note ?? "",
    state: entry.retracted ? (entry.retracted.reason === "undo" ? "undone" : "replaced") : "stands",
  };
}
