/** The few sentences the edge says of its own accord: on joining a chat, and when the messenger keeps talk from it. */

const WHAT_IT_DOES =
  "Areole keeps the journal of plants under glass. Write what was done or seen: “watered the aloes”, “min 4 last night”.";
const WHAT_IT_ANSWERS =
  "Each morning it says what is due. Ask at any time: “what is due?”, “does gasteria need water now?”";
const WHERE = "First: where is the glasshouse? The nearest town is enough: “we are near Gdańsk”.";
const KNOWN = "Its place is known already, so you can begin.";
const BACK = "Areole is here again. The journal is as it was.";

/** How to let plain sentences through, when only commands and replies arrive. */
export const HEARS_ONLY_COMMANDS =
  "Here only commands and replies to me reach me so far. Make me an administrator of this group; or switch group privacy " +
  "off for me in the messenger’s settings of the bot, then remove me and add me again.";
export const HEARS_ALL_NOW = "Plain sentences reach me here now.";

export interface Greeting {
  first: boolean;
  hearsAll: boolean;
  asksWhere: boolean;
}

/** Three short lines, a fourth only when the group's talk does not reach the bot. */
export function greeting({ first, hearsAll, asksWhere }: Greeting): string {
  const lines = first ? [WHAT_IT_DOES, WHAT_IT_ANSWERS, asksWhere ? WHERE : KNOWN] : [BACK];
  if (!first && asksWhere) lines.push(WHERE);
  if (!hearsAll) lines.push(HEARS_ONLY_COMMANDS);
  return lines.join("\n");
}
