/**
 * The trade: taxa, seasons, care rules, names and the answers drawn from them. Pure: data comes in by arguments (the
 * readers are `db/care/read.ts` and `db/names/read.ts`), there is no clock and no file.
 *
 *   readCareTable()            -> { table, hash, rows }      (db/care/read.ts; throws TableError)
 *   readHazards(table.sources) -> Caution[]                  (db/care/hazards.ts)
 *   readNameRows()             -> NameRows                   (db/names/read.ts)
 *   careKnowledge(table, nameRows, cautions) -> CareKnowledge { lookup, index, cautions, inGroup }, built once
 *
 *   index.resolve("notocactus")       -> Resolution: accepted name, or candidates, or nearest, or unknown
 *   lookup.find("Copiapoa cinerea")   -> FoundRules | null: rules of the year and who speaks; findResolved(resolution)
 *   placeSeason(date, { meanMinC, nights, floorC, latitude }, hemisphere) -> PlaceSeason, the season a place is in
 *   ruleAt(found.rules, placeSeason)  -> RuleNow: mode, days eased over the turn, restEndedDaysAgo
 *   ruleOf(found.rules, "winter")     -> RuleNow: a season as it stands in the table
 *   ownRulesFor(plant, season, rules, inGroup), applyOwnRules(ruleNow, own) -> CareNow, the group's practice over it
 *   answerCare(question, knowledge, circumstances) -> CareAnswer; answerName(text, knowledge); whyOf(answer) -> WhyStep[]
 *   cautionsOfAct(act, subjects, knowledge) -> Caution[]; cautionsFor, cautionsAt
 *   daylightHours(latitude, dayOfYear) after FAO-56; sunriseToSunsetHours as almanacs print it
 */
export * from "./act-cautions.js";
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
