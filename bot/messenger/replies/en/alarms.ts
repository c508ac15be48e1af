import type { Alarm } from "../../../journal/outcome.js";
import type { JournalEntry } from "../../../journal/ports.js";
import { difference, type Manner, quantity, readTemperature, temperature, when } from "./figures.js";

const CHECK_HEATER =
  "Look first at the heater's plug and breaker, then the thermostat, then the door. Mains in the damp: leave repairs to an electrician.";

/** What is wrong, and by how much. */
export function alarmLine(alarm: Alarm, entry: JournalEntry | undefined, manner: Manner): string {
  const where = alarm.place ? `, ${alarm.place.name}` : "";
  switch (alarm.kind) {
    case "under_floor": {
      const { place, statistic, valueC, byK } = alarm;
      const floor = place.floorC === null ? "freezing point" : `its floor of ${floorWords(alarm, manner)}`;
      const least = statistic === "min" ? "min " : "";
      return `❄ ${place.name}, ${when(entry?.entry.when, manner)}: ${least}${readTemperature(valueC, manner)}, ${difference(byK, manner, 1)} under ${floor}.`;
    }
    case "power_cut":
      return `Power cut${where}: no heat, fans or thermostat until it is back.`;
    case "heat_lost":
      return `❄ Heating off${where}${entry?.entry.cause ? `: ${entry.entry.cause}` : ""}.`;
    case "outdoor_cold":
      return `❄ ${temperature(alarm.valueC, manner)} outdoors; ${alarm.place.name} held its floor down to ${temperature(alarm.holdsDownToC, manner)} so far.`;
  }
}

/** The floor as it was told, where that is in the household's own unit. */
function floorWords({ place, floorC }: Extract<Alarm, { kind: "under_floor" }>, manner: Manner): string {
  const own = manner.units === "imperial" ? "[degF]" : "Cel";
  return place.floor?.unit === own ? quantity(place.floor) : readTemperature(floorC, manner);
}

/** What to look at first, and what not to touch. */
export function advice(alarm: Alarm): string {
  switch (alarm.kind) {
    case "under_floor":
    case "heat_lost":
      return CHECK_HEATER;
    case "power_cut":
      return "Keep doors and vents shut, read the thermometer every hour. Flame heaters need an open vent and a carbon monoxide alarm.";
    case "outdoor_cold":
      return "Check the heater now and have the spare one ready. An estimate: wind and clear sky make it worse.";
  }
}

export const WHO_LOOKS = "Who looks?";
