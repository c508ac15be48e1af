import type { Outcome } from "../../../journal/outcome.js";
import type { Button, Household, Place } from "../../../journal/ports.js";
import { sayButton } from "./buttons.js";
import { DAY_NAMES, list, type Manner, MONTH_NAMES, quantity, temperature } from "./figures.js";

type Of<K extends Outcome["kind"]> = Extract<Outcome, { kind: K }>;

/** What a setting is from now on. */
export function settingLine({ instruction, household, place }: Of<"set">, places: readonly Place[]): string {
  switch (instruction.setting) {
    case "floor":
      return `${place?.name ?? "Place"}: kept above ${place?.floor ? quantity(place.floor) : "nothing"} from now on.`;
    case "location": {
      const next = places.length === 0 ? " Next: “we have a long house kept above 5”." : "";
      const units = household.units === "imperial" ? ", in °F and inches" : "";
      return `Glasshouse at ${household.location}, zone ${household.zone}, ${household.hemisphere}ern hemisphere${units}.${next}`;
    }
    case "zone":
      return `Times are ${household.zone} from now on.`;
    case "units":
      return household.units === "metric" ? "Metric units: °C, cm, ml." : "US units: °F, inches, fl oz.";
    case "reminder_time":
      return `Morning message at ${household.reminderTime}, when there is something due.`;
    case "reminder_days":
      return daysLine(household.reminderDays);
    case "quiet_hours":
      return household.quietHours
        ? `Quiet from ${household.quietHours.from} to ${household.quietHours.to}.`
        : "No quiet hours.";
    case "danger_at_night":
      return household.dangerAtNight
        ? "Danger to plants is told at once, also in quiet hours."
        : "Danger to plants waits for the end of quiet hours.";
    case "reminders":
    case "task_month":
      return `Changed: ${taskWords(household)}.`;
    case "language":
      return `Language: ${household.locale === "en-US" ? "US English" : "English"}.`;
  }
}

const WEEK = 7;

function daysLine(days: readonly number[]): string {
  if (days.length === 0) return "No morning message any more. Danger to plants is still told.";
  const named =
    days.length === WEEK ? "every day" : `on ${list(days.map((day) => DAY_NAMES[day - 1] ?? ""))}`;
  return `Morning message ${named}, when there is something due.`;
}

const taskWords = (household: Household): string =>
  list(
    Object.entries(household.tasks).map(([task, { off, month }]) => {
      const name = task.replaceAll("_", " ");
      if (off) return `no reminders of ${name}`;
      return month ? `${name} in ${MONTH_NAMES[month - 1]}` : `reminders of ${name}`;
    }),
  );

const EXAMPLES: Readonly<Record<string, string>> = {
  floor: "“floor in the long house is 5”",
  location: "“we are in Gdansk” or “we are at 54.4 N, 18.6 E”",
  zone: "“our zone is Europe/Warsaw”",
  reminder_time: "“morning message at 7:30”",
  reminder_days: "“morning message on weekdays”",
  quiet_hours: "“quiet from 21:00 to 7:00”",
  units: "“use fahrenheit”",
};

/** Why a setting stays as it was, and what would work. */
export function failedSetting(
  { setting, reason, words, places, value }: Of<"set_failed">,
  manner: Manner,
): { text: string; buttons: Button[][] } {
  const example = EXAMPLES[setting] ?? "“floor in the long house is 5”";
  switch (reason) {
    case "not_allowed":
      return plain("In a group of this size the administrators change settings. Anyone may log.");
    case "only_english":
      return plain("Only English is understood so far.");
    case "out_of_range": {
      const range = `${temperature(-15, manner)} to ${temperature(30, manner)}`;
      return plain(
        `A floor of ${value ? quantity(value) : "that"} can not be right; it may be ${range}. What works: ${example}.`,
      );
    }
    case "which_place": {
      const floor = value ? quantity(value) : "";
      if (!places?.length) return plain("Which place? For example: “we have a long house kept above 5”.");
      return {
        text: `Which place is kept above ${floor}? Or type it: “floor in the ${places[0]?.name} is ${floor}”.`,
        buttons: [places.slice(0, 3).map(({ name }) => sayButton(name, `floor in the ${name} is ${floor}`))],
      };
    }
    case "unreadable":
      return plain(
        words === ""
          ? `That could not be read. What works: ${example}.`
          : `I could not read “${short(words)}”. What works: ${example}.`,
      );
  }
}

const plain = (text: string) => ({ text, buttons: [] });

const SHORT = 60;
export const short = (words: string): string =>
  words.length > SHORT ? `${words.slice(0, SHORT - 3)}…` : words;

export function placesLine({ added, changed, known }: Of<"places">): string {
  const said = [...added, ...changed, ...known].map(({ name, floor, isDefault }) =>
    [
      name,
      floor ? `, kept above ${quantity(floor)}` : "",
      isDefault ? " (meant when no place is said)" : "",
    ].join(""),
  );
  return `${added.length > 0 || known.length > 0 ? "Places" : "Changed"}: ${list(said)}.`;
}

export const removedLine = ({ place, words }: Of<"place_removed">, places: readonly Place[]): string =>
  place
    ? `${place.name} is no longer a place here. Its entries stay in the journal.`
    : `No place called “${short(words)}”. ${
        places.length === 0
          ? "To add one: “we have a long house kept above 5”."
          : `Known: ${list(places.map(({ name }) => name))}.`
      }`;
