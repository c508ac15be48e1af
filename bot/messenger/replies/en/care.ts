import type { CareAnswer, NameAnswer } from "../../../horticulture/answers.js";
import { coldList, waterList } from "./care-lists.js";
import { type CareSaid, LINES, nameOf, said } from "./care-said.js";
import { taxonLines } from "./care-taxon.js";
import { capital } from "./entries.js";
import { list, type Manner } from "./figures.js";

export type { CareSaid } from "./care-said.js";

/** Words a care answer in English. */
export function careLines(answer: CareAnswer, manner: Manner): CareSaid {
  switch (answer.kind) {
    case "taxon":
      return taxonLines(answer, manner);
    case "several": {
      const lines = answer.answers.map((one) => taxonLines(one, manner).lines[0] ?? "");
      const more = answer.answers.flatMap((one) => taxonLines(one, manner).lines.slice(1));
      const missing = answer.withoutRule.length > 0 ? `No rule for ${list(answer.withoutRule)}.` : null;
      return said([...lines.slice(0, LINES - 1), missing, ...lines.slice(LINES - 1)], more);
    }
    case "list":
      return answer.about === "water" ? waterList(answer) : coldList(answer, manner);
    case "name":
      return nameLines(answer);
    case "ambiguous":
      return {
        ...said([`“${answer.asked}” is used for several plants. Which one?`]),
        choices: choicesOf(answer.candidates),
      };
    case "doubtful":
      return {
        ...said([`“${answer.asked}” is no name the tables know. Do you mean ${orList(answer.nearest)}?`]),
        choices: choicesOf(answer.nearest),
      };
    case "unknown":
      return said([`No plant called “${answer.asked}” in the tables. The genus helps: “care gasteria”.`]);
    case "no rule":
      return said([
        `${nameOf(answer.asked, answer.accepted)}: no rule in the table${answer.family ? `, nor for its family, ${answer.family}` : ""}.`,
        `Keep one of your own: “we water the ${answer.accepted.toLowerCase()} every 10 days in summer”.`,
      ]);
    case "no subject":
      return said(["Of which plant? For example “when do I repot copiapoa?”."]);
  }
}

const choicesOf = (names: readonly string[]) =>
  names.slice(0, 3).map((name) => ({ label: name, words: name }));
const orList = (names: readonly string[]): string => list(names).replace(/ and (?=[^,]*$)/, " or ");

function nameLines(answer: NameAnswer): CareSaid {
  const { name, alsoCalled } = answer;
  const family = name.family && name.family !== name.accepted ? ` (${name.family})` : "";
  const cultivar = name.cultivar ? ` '${name.cultivar}'` : "";
  const number = name.fieldNumber ? `, ${name.fieldNumber}` : "";
  const full = `${name.accepted}${cultivar}${number}${family}`;
  const first = name.as === null ? `${full} is the name used here.` : `${capital(name.as)} is ${full} here.`;
  const note = name.note === "" ? null : `${capital(name.note.replace(/\.$/, ""))}.`;
  const which = name.candidates.length > 0 ? `It may mean ${orList(name.candidates)}.` : null;
  const unlisted = name.unlisted ? "The species is in none of the lists; kept as written." : null;
  const also = alsoCalled.filter((other) => other.toLowerCase() !== (name.as ?? "").toLowerCase());
  return said(
    [first, note, which, unlisted],
    [also.length > 0 ? `Also met as: ${list(also.slice(0, 12))}.` : null],
  );
}
