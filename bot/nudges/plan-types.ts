/** The plan of a morning is said in the journal's answers too, so its types stand with the due engine. */
export type * from "../horticulture/due/plan-types.js";
