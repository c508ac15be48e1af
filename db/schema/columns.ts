import { bigint, customType, uuid } from "drizzle-orm/pg-core";
import { Temporal } from "temporal-polyfill";

/** PostgreSQL takes neither U+0000 nor half a surrogate pair in text; people's messages hold both now and then. */
// biome-ignore lint/suspicious/noControlCharactersInRegex: the control character is what is looked for
const NUL = /\u0000/g;
const LONE_SURROGATE = /[\ud800-\udbff](?![\udc00-\udfff])|(?<![\ud800-\udbff])[\udc00-\udfff]/g;
export function storable(text: string): string {
  return text.replace(NUL, "").replace(LONE_SURROGATE, "\ufffd");
}

// A prepared statement hands null to `toDriver` too, against its declared type; it has to stay null.

/** A moment, to the microsecond. */
export const instant = customType<{ data: Temporal.Instant; driverData: string }>({
  dataType: () => "timestamp with time zone",
  toDriver: (value: Temporal.Instant | null) => (value === null ? value : value.toString()) as string,
  fromDriver: (value) => Temporal.Instant.from(value.replace(" ", "T")),
});

/** Text written by people or by the messenger. */
export const words = customType<{ data: string; driverData: string }>({
  dataType: () => "text",
  toDriver: (value: string | null) => (value === null ? value : storable(value)) as string,
});

/** A JSON document; both drivers hand it over parsed. */
export const json = customType<{ data: unknown; driverData: unknown }>({
  dataType: () => "jsonb",
  toDriver: (value) =>
    value === null || value === undefined
      ? null
      : JSON.stringify(value, (_key, inner) => (typeof inner === "string" ? storable(inner) : inner)),
});

/** First column of every key: the household a row belongs to. */
export const household = () => uuid("household_id").notNull();
/** An id of the messenger's; 52 significant bits at most, so a number holds it. */
export const messengerId = (name: string) => bigint(name, { mode: "number" });
