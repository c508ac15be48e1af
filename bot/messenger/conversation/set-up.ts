import { spotOf } from "../../journal/gazetteer.js";
import type { Reader } from "../../journal/mind.js";
import type { JournalStore } from "../../journal/ports.js";
import { EMPTY_HOUSEHOLD } from "../../language/context.js";
import type { Interpretation } from "../../language/interpretation.js";
import type { Desk, IncomingMessage } from "../desk.js";

/** The longest name of a town that is looked up when it stands alone. */
const TOWN_LENGTH = 40;

/**
 * While a household is being set up, the answers to the greeting count as spoken to the bot: it has just asked. So
 * "we are near Gdansk" and "we have a long house kept above 5" are heard in a group without a mention, and a town's
 * name alone is understood as a reply. Nothing else is: everyday talk stays talk.
 */
export function hearingSetUp(desk: Desk, reader: Pick<Reader, "interpret">, fallbackZone: string): Desk {
  return {
    ...desk,
    async message(message, store) {
      const answer = await setUpAnswer(message, store, reader, fallbackZone);
      return desk.message(answer === null ? message : { ...message, text: answer, addressed: true }, store);
    },
  };
}

/** The sentence that the message stands for as an answer to the greeting; null when it is none. */
async function setUpAnswer(
  message: IncomingMessage,
  store: JournalStore,
  reader: Pick<Reader, "interpret">,
  fallbackZone: string,
): Promise<string | null> {
  if (message.edited || message.forwarded || message.command || message.text === "") return null;
  const { text } = message;
  const read = () => reader.interpret(text, contextOf(message, fallbackZone));
  if (message.addressed) {
    if (!isTown(text) || (await store.household()).latitude !== null || read().kind !== "none") return null;
    return `we are near ${text.trim().replace(/[.!]+$/, "")}`;
  }
  return isSetUp(read()) && (await isUnfinished(store)) ? text : null;
}

const contextOf = (message: IncomingMessage, zone: string) => ({
  ...EMPTY_HOUSEHOLD,
  now: message.at.toZonedDateTimeISO(zone).toPlainDateTime().toString({ smallestUnit: "minute" }),
  zone,
  addressed: true,
});

function isSetUp({ kind, instruction }: Interpretation): boolean {
  if (kind !== "instruct" || !instruction) return false;
  if (instruction.do === "add_place") return true;
  return (
    instruction.do === "set" &&
    instruction.setting === "location" &&
    spotOf(String(instruction.value)) !== null
  );
}

async function isUnfinished(store: JournalStore): Promise<boolean> {
  const household = await store.household();
  return household.latitude === null || (await store.places()).length === 0;
}

function isTown(text: string): boolean {
  const name = text.trim().replace(/[.!]+$/, "");
  return name.length <= TOWN_LENGTH && /^[\p{L}\p{M}' ,.-]+$/u.test(name) && spotOf(name) !== null;
}
