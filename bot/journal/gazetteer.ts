import tzLookup from "@photostructure/tz-lookup";
import { cityMapping } from "city-timezones";
import { Temporal } from "temporal-polyfill";

/** Where a glasshouse stands, as far as the care of plants needs it. */
export interface Spot {
  location: string;
  latitude: number;
  longitude: number;
  zone: string;
  /** ISO 3166 code of the country, where a city was named. */
  country?: string;
}

const plain = (text: string): string =>
  text
    .normalize("NFD")
    .replace(/\p{M}/gu, "")
    .replace(/[łŁ]/g, "l")
    .replace(/[^\p{L}\p{N}]+/gu, " ")
    .trim()
    .toLowerCase();

interface City {
  city: string;
  city_ascii: string;
  lat: number;
  lng: number;
  pop: number;
  country: string;
  iso2: string;
  iso3: string;
  province: string;
  state_ansi?: string;
  timezone: string;
}

let index: Map<string, City[]> | null = null;

function citiesNamed(name: string): City[] {
  if (!index) {
    index = new Map();
    for (const city of cityMapping as City[]) {
      for (const key of new Set([plain(city.city), plain(city.city_ascii)])) {
        index.set(key, [...(index.get(key) ?? []), city]);
      }
    }
    for (const list of index.values()) list.sort((a, b) => b.pop - a.pop);
  }
  return index.get(plain(name)) ?? [];
}

const COORDINATES =
  /(-?\d{1,3}(?:[.,]\d+)?)\s*°?\s*([NnSs])?\s*[,;/ ]\s*(-?\d{1,3}(?:[.,]\d+)?)\s*°?\s*([EeWwOo])?\s*$/u;

/**
 * Reads "54.4 N 18.6 E", "54.35, 18.65", "Gdansk", "Portland, Maine".
 * @returns the spot with its IANA zone, or null where the words name none. Of several cities with one name the
 *   largest is meant unless a country or province is given.
 * @source city coordinates and zones: the npm package city-timezones (public city data); zones of coordinates:
 *   the npm package @photostructure/tz-lookup
 */
export function spotOf(words: string): Spot | null {
  const numbers = COORDINATES.exec(words);
  if (numbers) {
    const latitude = signed(numbers[1], numbers[2], "s");
    const longitude = signed(numbers[3], numbers[4], "w");
    if (Math.abs(latitude) > 90 || Math.abs(longitude) > 180) return null;
    return { location: words.trim(), latitude, longitude, zone: tzLookup(latitude, longitude) };
  }
  const [name = "", ...rest] = words.split(",").map((part) => part.trim());
  const candidates = citiesNamed(name).concat(rest.length === 0 ? trailingRegion(name) : []);
  const region = plain(rest.join(" "));
  const city = candidates.find(
    (candidate) =>
      region === "" ||
      [candidate.country, candidate.iso2, candidate.iso3, candidate.province, candidate.state_ansi ?? ""]
        .map(plain)
        .includes(region),
  );
  if (!city) return null;
  return {
    location: `${city.city}, ${city.country}`,
    latitude: city.lat,
    longitude: city.lng,
    zone: city.timezone,
    country: city.iso2,
  };
}

/** "Portland Maine" without a comma: the last words as the region. */
function trailingRegion(words: string): City[] {
  const parts = words.split(/\s+/);
  for (let cut = parts.length - 1; cut > 0; cut--) {
    const region = plain(parts.slice(cut).join(" "));
    const found = citiesNamed(parts.slice(0, cut).join(" ")).filter((city) =>
      [city.country, city.iso2, city.province, city.state_ansi ?? ""].map(plain).includes(region),
    );
    if (found.length > 0) return found;
  }
  return [];
}

function signed(digits: string | undefined, letter: string | undefined, negative: string): number {
  const value = Number((digits ?? "").replace(",", "."));
  return letter?.toLowerCase() === negative ? -Math.abs(value) : value;
}

/** The canonical id of a zone as typed ("europe/warsaw"), or null. */
export function zoneNamed(words: string): string | null {
  const text = words.trim().replace(/\s+/g, "_");
  if (!/^[A-Za-z]+\/[A-Za-z0-9_+\-/]+$/.test(text) && text.toUpperCase() !== "UTC") return null;
  try {
    return Temporal.Instant.fromEpochMilliseconds(0).toZonedDateTimeISO(text).timeZoneId;
  } catch {
    return null;
  }
}
