import { cautionsFor } from "../../bot/horticulture/cautions.js";
import type { Resolution } from "../../bot/horticulture/resolution.js";
import type { Row } from "../../db/care/csv.js";
import { type Compared, knowledge } from "./knowledge.js";

/** How one row of the reference lists of names and listings is compared with ours. */

/** Accepted names that a cell allows: "Cereus hildmannianus / C. repandus", "Turbinicarpus (mostly)", "Rebutia or Weingartia". */
export function namesIn(cell: string): string[] {
  const found = [
    ...cell.matchAll(/([A-Z][a-z]+|[A-Z]\.)(?: (?:x )?([a-z][a-z-]{2,}))?(?: (?:subsp|var)\. [a-z-]+)?/g),
  ];
  let genus = "";
  return found
    .filter(([, first = ""]) => !["AMBIGUOUS", "POWO"].includes(first))
    .map(([, first = "", epithet]) => {
      if (!first.endsWith(".")) genus = first;
      const loose = ["hybrids", "hybrid", "often", "mostly", "grafted", "succulents", "trade", "and", "or"];
      return epithet && !loose.includes(epithet) ? `${genus} ${epithet}` : genus;
    });
}

const reached = (name: Resolution): string[] => {
  switch (name.kind) {
    case "taxon":
      return [name.accepted, ...name.candidates];
    case "ambiguous":
      return name.candidates;
    default:
      return [];
  }
};

const ours = (name: Resolution): string => {
  if (name.kind === "doubtful") return `asks: ${name.nearest.join(", ")}`;
  return reached(name).join(" or ") || name.kind;
};

/** Genus and epithet, without subspecies or hybrid sign. */
const bare = (name: string): string =>
  name
    .replace(/ [x×] /, " ")
    .split(" ")
    .slice(0, 2)
    .join(" ");

/** Whether a name reached is the one wanted; a genus wanted is also met by its species. */
const meets = (wanted: string) => (name: string) =>
  bare(name) === bare(wanted) || (!wanted.includes(" ") && name.split(" ")[0] === wanted);

export function compareSynonym(row: Row): Compared {
  const old = row.get("old_or_trade_name").replace(/\s*\(.*\)$/, "");
  const name = knowledge.index.resolve(old);
  const allowed = namesIn(row.get("accepted_name"));
  return {
    id: old,
    what: "accepted name",
    published: row.get("accepted_name"),
    ours: ours(name),
    source: row.get("source_name") || row.get("basis"),
    agrees: reached(name).some((got) => allowed.some((wanted) => meets(wanted)(got))),
  };
}

export function compareCommonName(row: Row): Compared[] {
  return row
    .get("common_name")
    .split(" / ")
    .map((common) => {
      const name = knowledge.index.resolve(common);
      const allowed = namesIn(row.get("taxon"));
      return {
        id: `${common} = ${row.get("taxon")}`,
        what: "",
        published: row.get("taxon"),
        ours: ours(name),
        source: row.get("source_name") || row.get("basis"),
        agrees: reached(name).some((got) => allowed.some((wanted) => meets(wanted)(got))),
      };
    });
}

const GROUP_MEANT: Readonly<Record<string, readonly string[]>> = {
  Stapelieae: ["stapeliads"],
  Aizoaceae: ["mesembs", "Aizoaceae"],
  caudiciforms: ["caudiciforms"],
  Epiphyllum: ["epiphytes"],
  Cactaceae: ["cacti", "Cactaceae"],
  succulents: ["succulents"],
};

export function compareMisspelling(row: Row): Compared {
  const name = knowledge.index.resolve(row.get("as_typed"));
  const means = row.get("means");
  const group = /^\(group\) (\w+)/.exec(means)?.[1];
  const allowed = namesIn(means);
  const agrees = group
    ? reached(name).some((got) => GROUP_MEANT[group]?.includes(got))
    : reached(name).some((got) => allowed.some((wanted) => meets(wanted)(got)));
  return {
    id: row.get("as_typed"),
    what: "",
    published: means,
    ours: ours(name),
    source: row.get("basis"),
    agrees,
  };
}

const APPENDIX_I = /CITES Appendix I(?![IV])/;

/** Listed in Appendix I or not: the only listing that a caution tells. */
export function compareListing(row: Row): Compared[] {
  const listed = row.get("appendix") === "I";
  return namesIn(row.get("taxon"))
    .filter(
      (taxon) =>
        !["Artificially", "Appendix", "CoP", "CoP20", "Hybrids", "Milii", "Jusbertii"].includes(
          taxon.split(" ")[0] as string,
        ),
    )
    .map((taxon) => {
      const name = knowledge.index.resolve(taxon);
      const told =
        name.kind === "taxon"
          ? cautionsFor(name, "hazard", knowledge.cautions).filter((caution) => /CITES/.test(caution.text))
          : [];
      const text = told.map((caution) => caution.text).join("; ");
      return {
        id: taxon,
        what: "CITES",
        published: row.get("appendix"),
        ours: name.kind === "taxon" ? text || "no caution" : name.kind,
        source: row.get("source_name") || row.get("basis"),
        agrees: listed ? APPENDIX_I.test(text) : !APPENDIX_I.test(text),
      };
    });
}
