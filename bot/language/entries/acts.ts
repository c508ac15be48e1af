import { type Act, PLACE_ACTS } from "../interpretation.js";

const PLANTLESS: ReadonlySet<Act> = new Set<Act>([...PLACE_ACTS, "note"]);
export const isPlantAct = (act: Act): boolean => !PLANTLESS.has(act);
