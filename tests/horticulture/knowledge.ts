import { join } from "node:path";
import { type CareKnowledge, careKnowledge } from "../../bot/horticulture/knowledge.js";
import { type Row, readTable } from "../../db/care/csv.js";
import { readHazards } from "../../db/care/hazards.js";
import { readCareTable } from "../../db/care/read.js";
import { readNameRows } from "../../db/names/read.js";

const { table } = readCareTable();
export const names = readNameRows();
/** The project's own tables, as the bot loads them. */
export const knowledge: CareKnowledge = careKnowledge(table, names, readHazards(table.sources));

const REFERENCE = join(import.meta.dirname, "reference");

/** Rows of a reference table: values with the source named beside each. */
export const reference = (name: string): Row[] => readTable(join(REFERENCE, `${name}.csv`));

/** Reasons why we keep ours where a reference differs, by table and id. */
export function reasonsFor(table: string): ReadonlyMap<string, string> {
  return new Map(
    reference("reasons")
      .filter((row) => row.get("table") === table)
      .map((row) => [row.get("id"), row.get("reason")]),
  );
}

/** Outcome of comparing one reference row with the table. */
export interface Compared {
  id: string;
  what: string;
  published: string;
  ours: string;
  agrees: boolean;
  source: string;
}

/** Pass rate and every disagreement with its reason, for the test's output; and those that nobody explained. */
export function compare(table: string, rows: readonly Compared[]) {
  const reasons = reasonsFor(table);
  const apart = rows.filter((row) => !row.agrees);
  const agreed = rows.length - apart.length;
  const lines = [
    `${table}: ${agreed} of ${rows.length} agree (${((100 * agreed) / rows.length).toFixed(1)} %)`,
    ...apart.map(
      (row) =>
        `  ${row.id} ${row.what}: published ${row.published} (${row.source}), ours ${row.ours}. ${reasons.get(row.id) ?? "NOT EXPLAINED"}`,
    ),
  ];
  const unexplained = apart.filter((row) => !reasons.has(row.id)).map((row) => `${row.id} ${row.what}`);
  const idle = [...reasons.keys()].filter((id) => !apart.some((row) => row.id === id));
  return { report: `${lines.join("\n")}\n`, unexplained, idle };
}
