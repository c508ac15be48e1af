import { parseArgs } from "node:util";
import { Temporal } from "temporal-polyfill";
import { isZone } from "../config.js";

export interface LocalChatOptions {
  /** The member who speaks. */
  as: string;
  /** Where the clock starts and stands; null: it runs with the system's. */
  now: Temporal.Instant | null;
  zone: string;
  dataDir: string;
  /** A private chat instead of the group. */
  isPrivate: boolean;
  /** Repeats what is typed, with the speaker's name. */
  echo: boolean;
}

export const USAGE = `npm start -- [options]        the local chat (no BOT_TOKEN set)
  --as NAME      who speaks (default Keeper)
  --now ISO      the clock stands at this local time, e.g. 2027-01-15T09:00
  --zone ZONE    time zone, e.g. Europe/Warsaw
  --data DIR     where the journal is kept (default ./data)
  --private      a private chat with the bot; --group is the default
  --echo         repeat each line with the speaker's name`;

/** A wrong option, in words for the person who typed it. */
export class OptionError extends Error {}

/**
 * @param defaults zone and data directory from the environment
 * @throws {OptionError}
 */
export function readOptions(
  argv: readonly string[],
  defaults: { zone: string; dataDir: string },
): LocalChatOptions & { help: boolean } {
  const values = parse(argv);
  const zone = values.zone ?? defaults.zone;
  if (!isZone(zone)) throw new OptionError(`--zone must be an IANA time zone, such as Europe/Warsaw.`);
  if (values.group && values.private) throw new OptionError("--group and --private exclude each other.");
  const as = values.as?.trim() ?? "Keeper";
  if (as === "") throw new OptionError("--as needs a name.");
  return {
    as,
    now: values.now === undefined ? null : readTime(values.now, zone, "--now"),
    zone,
    dataDir: values.data ?? defaults.dataDir,
    isPrivate: values.private ?? false,
    echo: values.echo ?? false,
    help: values.help ?? false,
  };
}

function parse(argv: readonly string[]) {
  try {
    return parseArgs({
      args: [...argv],
      options: {
        as: { type: "string" },
        now: { type: "string" },
        zone: { type: "string" },
        data: { type: "string" },
        group: { type: "boolean" },
        private: { type: "boolean" },
        echo: { type: "boolean" },
        help: { type: "boolean" },
      },
    }).values;
  } catch (error) {
    throw new OptionError(error instanceof Error ? error.message : String(error));
  }
}

/**
 * A point in time as typed: local wall-clock in `zone`, or with an offset ("Z", "+01:00").
 * @example readTime("2027-01-15T09:00", "Europe/Warsaw", "--now") //=> 2027-01-15T08:00:00Z
 * @throws {OptionError} naming `what`
 */
export function readTime(typed: string, zone: string, what: string): Temporal.Instant {
  const text = typed.trim();
  try {
    if (/(?:Z|[+-]\d\d:?\d\d)$/i.test(text) && text.includes("T")) return Temporal.Instant.from(text);
    return Temporal.PlainDateTime.from(text).toZonedDateTime(zone).toInstant();
  } catch {
    throw new OptionError(`${what} must be a date and time, such as 2027-01-15T09:00.`);
  }
}
