import type { DangerFacts } from "../../../nudges/danger-facts.js";
import type { OpenDanger, Worded } from "../../../nudges/voice.js";
import { list, type Manner, temperature } from "./figures.js";

/** Words of danger after the first alarm: repeats to the whole group, the end of it, and the leave to wake people. */

const SHOWN = 3;

/** What is wrong, short: "Long House 3 °C, floor 5 °C". */
export function dangerWords(facts: DangerFacts, manner: Pick<Manner, "units">): string {
  const place = facts.placeName ?? "The glasshouse";
  switch (facts.kind) {
    case "under_floor":
      return facts.floorC === null
        ? `${place} ${temperature(facts.valueC, manner)}, freezing`
        : `${place} ${temperature(facts.valueC, manner)}, floor ${temperature(facts.floorC, manner)}`;
    case "power_cut":
      return facts.placeName ? `power cut, ${facts.placeName}` : "power cut";
    case "heat_lost":
      return facts.placeName ? `heating off, ${facts.placeName}` : "heating off";
    case "outdoor_cold":
      return `${temperature(facts.valueC, manner)} outdoors, ${place} held its floor down to ${temperature(facts.holdsDownToC, manner)}`;
  }
}

const clock = (danger: OpenDanger, manner: Manner): string =>
  danger.since.toZonedDateTimeISO(manner.zone).toPlainTime().toString({ smallestUnit: "minute" });

/** To the whole group, by its name: nobody has taken it. */
export function dangerAgain(open: readonly OpenDanger[], group: string | null, manner: Manner): Worded {
  const first = open[0];
  const what = list(open.slice(0, SHOWN).map(({ facts }) => dangerWords(facts, manner)));
  const more = open.length > SHOWN ? ` and ${open.length - SHOWN} more` : "";
  const since = first ? `, since ${clock(first, manner)}` : "";
  const to = group === null ? "" : `To all in ${group}: `;
  return {
    text: [
      `❄ ${to}nobody looks yet. ${capitalised(what)}${more}${since}.`,
      "Look first at the heater's plug and breaker, then the thermostat, then the door. Mains in the damp: leave repairs to an electrician.",
      "Who looks?",
    ].join("\n"),
    buttons: [
      [
        { label: "I do", data: `claim:${first?.facts.entryId ?? ""}` },
        { label: "It is fine again", data: `well:${first?.facts.entryId ?? ""}` },
      ],
    ],
  };
}

const capitalised = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);

/** Said once, with the entry that ended it. */
export function dangerEnded(ended: readonly DangerFacts[]): string {
  const first = ended[0];
  const others = ended.length > 1 ? "; all alarms of it are closed" : "; the alarm is closed";
  switch (first?.kind) {
    case "power_cut":
      return `Power is back${others}. Read the thermometer once more in an hour.`;
    case "heat_lost":
      return `The heating runs again${others}.`;
    case "outdoor_cold":
      return `No longer too cold outdoors${others}.`;
    default:
      return `${first?.placeName ?? "It"} is at its floor or above again${others}.`;
  }
}

/** Asked once, when the place and a floor are known. */
export const MAY_WAKE: Worded = {
  text: "May I wake you when plants are at risk, also at night?",
  buttons: [
    [
      { label: "Yes, wake us", data: "wake:yes" },
      { label: "Not at night", data: "wake:no" },
    ],
  ],
};
export const wakes = (yes: boolean): string =>
  yes
    ? "Danger to plants is told at once, also in quiet hours."
    : "In quiet hours danger to plants waits until they end. To change it: “wake us when plants are at risk”.";
