/**
 * The trade: taxa, seasons, care rules, names and the answers drawn from them. Pure: data comes in by arguments (the
 * readers are `db/care/read.ts` and `db/names/read.ts`), there is no clock and no file.
 *
 *   readCareTable()            -> { table, hash, rows }      (db/care/read.ts; throws TableError)
 *   readNameRows()             -> NameRows                   (db/names/read.ts)
 *   new CareLookup(table)      .find("Copiapoa cinerea") -> FoundRules | null   who speaks for it, rules of the year
 *   new TaxonIndex(nameRows)   .resolve("notocactus")    -> Resolution          accepted name, or what to ask
 *   placeSeason(date, { meanMinC, nights, floorC, latitude })  -> PlaceSeason   season the place is in
 *   ruleAt(found.rules, placeSeason)   -> RuleNow   mode, days eased over the turn of the season, restEndedDaysAgo
 *   ruleOf(found.rules, "winter")      -> RuleNow   a season as it stands in the table
 *   ownRulesFor(plant, season, rules, inGroup), applyOwnRules(ruleNow, own) -> CareNow  group's practice over the book
 *   groupTest(lookup)          -> InGroup            "winter growers", "other succulents", ...
 *   careKnowledge(table, nameRows, cautions) -> CareKnowledge { lookup, index, cautions, inGroup }, built once
 *   answerCare(question, knowledge, circumstances) -> CareAnswer; answerName(text, knowledge); whyOf(answer) -> WhyStep[]
 *   cautionsFor(resolved, act, cautions, groups), cautionsAt(act, cautions)
 *   daylightHours(latitude, dayOfYear)               FAO-56
 */
export * from "./answer-care.js";
export * from "./answers.js";
export * from "./care.js";
export * from "./cautions.js";
export * from "./coverage.js";
export * from "./daylight.js";
export * from "./groups.js";
export * from "./knowledge.js";
export * from "./lookup.js";
export * from "./months.js";
export * from "./names.js";
export * from "./own-rules.js";
export * from "./place-season.js";
export * from "./resolution.js";
export * from "./seasons.js";
export * from "./standing.js";
export { buildCareTable, type Defect, type TableRow } from "./table.js";
export * from "./taxon-index.js";
export { whyOf } from "./why.js";
export { windowOn } from "./windows.js";
