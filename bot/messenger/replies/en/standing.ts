import type { Household, Place } from "../../../journal/ports.js";
import { quantity, temperature } from "./figures.js";

/** What is on record, as the commands "/settings" and "/places" show it. */

const DAYS = ["Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun"];

export function settingsText(household: Household, fallbackZone: string): string {
  const zone = household.zone ?? `${fallbackZone}, assumed`;
  const units = household.units === "metric" ? "°C" : "°F";
  const where =
    household.location ??
    (household.latitude === null ? "Place not told yet" : `${household.latitude}, ${household.longitude}`);
  const days = household.reminderDays.map((day) => DAYS[day - 1]).join(", ");
  const on = household.reminderDays.length === 7 ? "every day" : days === "" ? "on no day" : `on ${days}`;
  const quiet = household.quietHours
    ? `quiet from ${household.quietHours.from} to ${household.quietHours.to}`
    : "no quiet hours";
  return [
    `${where}; zone ${zone}; ${units}.`,
    `Morning message at ${household.reminderTime}, ${on}; ${quiet}.`,
    "Change them by a sentence: “we are near Gdańsk”, “morning message at 6:30”, “quiet hours 21:00 to 07:00”, “use Fahrenheit”.",
  ].join("\n");
}

export function placesText(places: readonly Place[], units: Household["units"]): string {
  if (places.length === 0)
    return "No places yet. Tell them in a sentence: “we have a long house kept above 5 and a warm bench at 12”.";
  return places
    .map((place) => `${place.name}${also(place)}: ${floor(place, units)}${usual(place)}`)
    .join("\n");
}

const also = ({ aliases }: Place): string => (aliases.length > 0 ? ` (${aliases.join(", ")})` : "");
/** The place that is meant where none is named. */
const usual = ({ isDefault }: Place): string => (isDefault ? "; meant where no place is named" : "");

function floor(place: Place, units: Household["units"]): string {
  if (place.floorC !== null) return `kept above ${temperature(place.floorC, { units })}`;
  return place.floor ? `kept above ${quantity(place.floor)}` : "floor not told";
}

export const topicBound = (name: string): string =>
  `This topic keeps the collection “${name}”: what is logged here belongs to it.`;

export function topicNotBound(why: "no_topic" | "no_name" | "not_allowed"): string {
  if (why === "no_topic") return "That works inside a topic of a group with topics: “/collection Orchids”.";
  if (why === "no_name") return "This topic has no collection yet. To give it one: “/collection Orchids”.";
  return "In a group of this size the administrators change that. Anyone may log.";
}
