import type { Act } from "../interpretation.js";

const PLANTLESS: ReadonlySet<Act> = new Set<Act>([
  "reading",
  "heat_on",
  "heat_off",
  "setpoint",
  "insulate",
  "uninsulate",
  "vent_open",
  "vent_close",
  "fan_on",
  "fan_off",
  "dehumidify_on",
  "dehumidify_off",
  "power_cut",
  "power_back",
  "note",
]);
export const isPlantAct = (act: Act): boolean => !PLANTLESS.has(act);
