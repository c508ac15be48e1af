import type { Alarm } from "../../../journal/outcome.js";
import type { JournalEntry } from "../../../journal/ports.js";
import { difference, type Manner, temperature, when } from "./figures.js";

const CHECK_HEATER = "Look first at the heater's plug and breaker, then the thermostat, then the door.";
const MAINS = "Mains in the damp: leave repairs to an electrician.";

/** What is wrong, by how much, and what to look at first. */
export function alarmLines(alarm: Alarm, entry: JournalEntry | undefined, manner: Manner): string[] {
  switch (alarm.kind) {
    case "under_floor": {
      const floor = `its floor of ${temperature(alarm.floorC, manner)}`;
      const stat = alarm.statistic === "min" ? "min " : "";
      return [
        `❄ ${alarm.place.name}, ${when(entry?.entry.when, manner)}: ${stat}${temperature(alarm.valueC, manner)}, ${difference(alarm.byK, manner)} under ${alarm.place.floorC === null ? "freezing point" : floor}.`,
        `${CHECK_HEATER} ${MAINS}`,
      ];
    }
    case "power_cut":
      return [
        `Power cut${alarm.place ? `, ${alarm.place.name}` : ""}: no heat, fans or thermostat until it is back.`,
        "Keep doors and vents shut, read the thermometer every hour. Flame heaters need an open vent and a carbon monoxide alarm.",
      ];
    case "heat_lost":
      return [`Heating off${alarm.place ? `, ${alarm.place.name}` : ""}.`, `${CHECK_HEATER} ${MAINS}`];
    case "outdoor_cold":
      return [
        `❄ ${temperature(alarm.valueC, manner)} outdoors; ${alarm.place.name} held its floor down to ${temperature(alarm.holdsDownToC, manner)} so far.`,
        "Check the heater now and have the spare one ready. An estimate: wind and clear sky make it worse.",
      ];
  }
}

export const WHO_LOOKS = "Who looks?";
