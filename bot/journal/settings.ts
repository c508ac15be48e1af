import type { Instruction, Quantity } from "../language/interpretation.js";
import { spotOf, zoneNamed } from "./gazetteer.js";
import type { Outcome } from "./outcome.js";
import type { Household, Id, Place } from "./ports.js";
import { placeNamed, type Scope } from "./scope.js";
import { toCelsius, UnitError } from "./units.js";

type Set = Extract<Instruction, { do: "set" }>;

const isQuantity = (value: unknown): value is Quantity =>
  typeof value === "object" && value !== null && "value" in value && "unit" in value;
const isTime = (text: unknown): text is string =>
  typeof text === "string" && /^([01]\d|2[0-3]):[0-5]\d$/.test(text);
const isSpan = (value: unknown): value is { from: string; to: string } =>
  typeof value === "object" &&
  value !== null &&
  "from" in value &&
  "to" in value &&
  isTime(value.from) &&
  isTime(value.to) &&
  value.from !== value.to;

type Failed = Extract<Outcome, { kind: "set_failed" }>;

const failed = (
  instruction: Set,
  reason: Failed["reason"],
  more: Pick<Failed, "places" | "value"> = {},
): Outcome => ({
  kind: "set_failed",
  setting: instruction.setting,
  reason,
  words: typeof instruction.value === "string" ? instruction.value : "",
  ...more,
});

const MONTHS = new Set<unknown>([1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 12]);
/** Words for the two systems of units. */
const UNITS: Readonly<Record<string, Household["units"]>> = {
  metric: "metric",
  celsius: "metric",
  imperial: "imperial",
  us: "imperial",
  fahrenheit: "imperial",
};
/** No glasshouse is kept colder or warmer; a number outside is a slip of the finger or of the unit. */
const FLOOR_RANGE_C = { least: -15, most: 30 };
/** The only language whose words this version has. */
const ENGLISH = /^en(-[A-Z]{2})?$/;

/** Countries whose English this version reads: dates, gallons and money differ. */
const LOCALES: Readonly<Record<string, string>> = {
  US: "en-US",
  CA: "en-CA",
  AU: "en-AU",
  NZ: "en-NZ",
  ZA: "en-ZA",
  IE: "en-IE",
};

/** What a household in that country writes, told once with its place: later words about units are its own. */
function customsOf(country: string | undefined): Partial<Household> {
  const locale = LOCALES[country ?? ""];
  if (locale === undefined) return {};
  return locale === "en-US" ? { locale, units: "imperial" } : { locale };
}

/** What a setting turns into in the household's record; null where the words cannot be read. */
function patchOf(instruction: Set, household: Household): Partial<Household> | null {
  const { setting, value } = instruction;
  const words = typeof value === "string" ? value : "";
  switch (setting) {
    case "location": {
      const spot = spotOf(words);
      if (!spot) return null;
      return {
        location: spot.location,
        latitude: spot.latitude,
        longitude: spot.longitude,
        zone: spot.zone,
        hemisphere: spot.latitude < 0 ? "south" : "north",
        ...(household.location === null ? customsOf(spot.country) : {}),
      };
    }
    case "zone": {
      const zone = zoneNamed(words) ?? spotOf(words)?.zone ?? null;
      return zone ? { zone } : null;
    }
    case "units":
      return UNITS[words.trim().toLowerCase()] ? { units: UNITS[words.trim().toLowerCase()] } : null;
    case "reminder_time":
      return isTime(value) ? { reminderTime: value } : null;
    case "quiet_hours":
      return isSpan(value) ? { quietHours: value } : words === "off" ? { quietHours: null } : null;
    case "language":
      return ENGLISH.test(words) ? { locale: words } : null;
    case "reminder_days":
      return Array.isArray(value) && value.every((day) => Number.isInteger(day) && day >= 1 && day <= 7)
        ? { reminderDays: [...new Set(value as number[])].sort((a, b) => a - b) }
        : null;
    case "danger_at_night":
      return typeof value === "boolean" ? { dangerAtNight: value } : null;
    case "reminders": {
      const said = taskSwitch(value);
      return (
        said && {
          tasks: { ...household.tasks, [said.task]: { ...household.tasks[said.task], off: said.off } },
        }
      );
    }
    case "task_month": {
      const said = value as { task?: string; act?: string; month?: number } | undefined;
      const task = said?.task ?? said?.act;
      if (!task || !MONTHS.has(said?.month)) return null;
      return { tasks: { ...household.tasks, [task]: { ...household.tasks[task], month: said?.month } } };
    }
    default:
      return null;
  }
}

/** "no pest reminders": `{ pest: false }`, or the task by its name with whether it is off. */
function taskSwitch(value: unknown): { task: string; off: boolean } | null {
  if (typeof value !== "object" || value === null) return null;
  const { task, off } = value as { task?: unknown; off?: unknown };
  if (typeof task === "string") return { task, off: off !== false };
  const [named] = Object.entries(value);
  return named && typeof named[1] === "boolean" ? { task: named[0], off: !named[1] } : null;
}

/** Changes one setting of the household, or the floor of one place. */
export async function changeSetting(scope: Scope, instruction: Set): Promise<Outcome> {
  if (instruction.setting === "floor") return setFloor(scope, instruction);
  const patch = patchOf(instruction, scope.household);
  if (!patch) return failed(instruction, instruction.setting === "language" ? "only_english" : "unreadable");
  await scope.store.updateHousehold(patch);
  Object.assign(scope.household, patch);
  if (patch.zone) scope.zone = patch.zone;
  return { kind: "set", instruction, household: scope.household, place: null };
}

async function setFloor(scope: Scope, instruction: Set): Promise<Outcome> {
  const { value, place: words } = instruction;
  if (!isQuantity(value)) return failed(instruction, "unreadable");
  const wrong = wrongFloor(value);
  if (wrong) return failed(instruction, wrong, { value });
  if (words === undefined && scope.places.length !== 1) {
    return failed(instruction, "which_place", { places: scope.places, value });
  }
  const place = words === undefined ? (scope.places[0] ?? null) : placeNamed(scope.places, words);
  if (!place) {
    // "the floor in the seed frame is 10" makes the seed frame known.
    const added = await addPlace(scope, words ?? "", value);
    return { kind: "places", added: [added], changed: [], known: [] };
  }
  await changeFloor(scope, place, value);
  return { kind: "set", instruction, household: scope.household, place };
}

async function changeFloor(scope: Scope, place: Place, floor: Quantity): Promise<void> {
  const patch = { floor, floorC: celsiusOrNull(floor) };
  await scope.store.updatePlace(place.id, patch);
  Object.assign(place, patch);
}

/** Why a floor cannot be set to that, if it cannot. */
function wrongFloor(value: Quantity): "unreadable" | "out_of_range" | null {
  const floorC = celsiusOrNull(value);
  if (floorC === null) return "unreadable";
  return floorC < FLOOR_RANGE_C.least || floorC > FLOOR_RANGE_C.most ? "out_of_range" : null;
}

function celsiusOrNull(value: Quantity): number | null {
  try {
    return toCelsius(value);
  } catch (error) {
    if (error instanceof UnitError) return null;
    throw error;
  }
}

/** "long house" as it is written in lists: each word with a capital, unless the writer set capitals. */
const titled = (words: string): string =>
  /\p{Lu}/u.test(words) ? words : words.replace(/(^|[\s-])\p{Ll}/gu, (letter) => letter.toUpperCase());

async function addPlace(scope: Scope, words: string, floor: Quantity | null): Promise<Place> {
  const name = titled(words.trim());
  const place = await scope.store.addPlace({
    collectionId: scope.collectionId,
    name,
    aliases: [],
    floor,
    floorC: floor ? celsiusOrNull(floor) : null,
    kind: null,
    isDefault: scope.places.length === 0,
  });
  scope.places.push(place);
  return place;
}

/** "we have a long house kept above 5 and a warm bench at 12": places with their floors, new or known. */
export async function addPlaces(
  scope: Scope,
  wanted: readonly { place: string; value?: Quantity }[],
): Promise<Outcome> {
  for (const { place, value } of wanted) {
    const wrong = value ? wrongFloor(value) : null;
    if (wrong) return { kind: "set_failed", setting: "floor", reason: wrong, words: place, value };
  }
  const added: Place[] = [];
  const changed: Place[] = [];
  const stand: Place[] = [];
  for (const { place: words, value } of wanted) {
    const known = placeNamed(scope.places, words);
    if (!known) {
      added.push(await addPlace(scope, words, value ?? null));
      continue;
    }
    const same = !value || celsiusOrNull(value) === known.floorC;
    if (value) await changeFloor(scope, known, value);
    (same ? stand : changed).push(known);
  }
  await adoptPlants(scope, added);
  return { kind: "places", added, changed, known: stand };
}

/** Plants that were logged before any place was told stand in the first one. */
async function adoptPlants(scope: Scope, added: readonly Place[]): Promise<void> {
  const first: Id | undefined = added[0]?.id;
  if (first === undefined || scope.places.length !== added.length) return;
  for (const plant of scope.plants) {
    if (plant.placeId !== null) continue;
    await scope.store.updatePlant(plant.id, { placeId: first });
    plant.placeId = first;
  }
}

export async function removePlace(scope: Scope, words: string): Promise<Outcome> {
  const place = placeNamed(scope.places, words);
  if (place) {
    await scope.store.removePlace(place.id);
    scope.places.splice(scope.places.indexOf(place), 1);
    for (const plant of scope.plants) if (plant.placeId === place.id) plant.placeId = null;
  }
  return { kind: "place_removed", place, words };
}
