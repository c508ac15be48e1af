import type { MessageEntity, UserFromGetMe } from "grammy/types";
import { sentenceOf } from "./commands.js";

export interface Addressing {
  /** Without the mention; the sentence a command stands for. */
  text: string;
  command: { name: string; argument: string } | null;
  /** By a mention, by name, or by a command of ours; private chats and replies are the caller's. */
  byWords: boolean;
  /** A command for another bot, or one of nobody's in a group: not for us at all. */
  elsewhere: boolean;
}

/**
 * Finds out whether a text speaks to the bot, and takes that part off.
 * @example addressing("@areole what is due?", ...) //=> { text: "what is due?", byWords: true, ... }
 */
export function addressing(
  raw: string,
  entities: readonly MessageEntity[],
  me: Pick<UserFromGetMe, "id" | "username" | "first_name">,
  isPrivate: boolean,
): Addressing {
  const first = entities[0];
  if (first?.type === "bot_command" && raw.slice(0, first.offset).trim() === "")
    return commandAddressing(raw, first, me, isPrivate);

  const handle = `@${me.username}`.toLowerCase();
  const mentions = entities.filter(
    (entity) =>
      (entity.type === "mention" &&
        raw.slice(entity.offset, entity.offset + entity.length).toLowerCase() === handle) ||
      (entity.type === "text_mention" && entity.user.id === me.id),
  );
  const text = mentions.length > 0 ? without(raw, mentions) : raw;
  const called = calledByName(text, me.first_name);
  return {
    text: (called ?? text).trim(),
    command: null,
    byWords: mentions.length > 0 || called !== null,
    elsewhere: false,
  };
}

/** Takes out the mentions with the comma or colon after one that opens the text, and closes the gaps. */
function without(raw: string, mentions: readonly MessageEntity[]): string {
  let text = "";
  let at = 0;
  const add = (piece: string) => {
    const tidy = text === "" ? piece.trim().replace(/^[,:;–-]\s*/, "") : piece.trim();
    const gap = text === "" || tidy === "" || /^[.,!?]/.test(tidy) ? "" : " ";
    text += gap + tidy;
  };
  for (const { offset, length } of mentions) {
    add(raw.slice(at, offset));
    at = offset + length;
  }
  add(raw.slice(at));
  return text.replace(/,([.!?]?)$/, "$1");
}

/** "Areole, what is due?", "areole undo": the name opens the text; the botanical word seldom does, and never "areoles". */
function calledByName(text: string, name: string): string | null {
  const plain = name.replaceAll(/[.*+?^${}()|[\]\\]/g, "\\$&");
  const match = new RegExp(`^(?:(?:hey|hi|hello|ok|dear)[, ]+)?${plain}(?:\\s*[,:]\\s*|\\s+)`, "i").exec(
    text.trim(),
  );
  return match ? text.trim().slice(match[0].length) : null;
}

function commandAddressing(
  raw: string,
  entity: MessageEntity,
  me: Pick<UserFromGetMe, "username">,
  isPrivate: boolean,
): Addressing {
  const end = entity.offset + entity.length;
  const [name = "", handle] = raw
    .slice(entity.offset + 1, end)
    .toLowerCase()
    .split("@");
  const argument = raw.slice(end).trim();
  const named = handle !== undefined && handle === me.username.toLowerCase();
  const sentence = sentenceOf(name, argument);
  const elsewhere = (handle !== undefined && !named) || (sentence === null && !named && !isPrivate);
  return {
    // A command nobody knows is read as the words it is made of: "/water aloes".
    text: sentence ?? `${name.replaceAll("_", " ")} ${argument}`.trim(),
    command: { name, argument },
    byWords: !elsewhere,
    elsewhere,
  };
}
