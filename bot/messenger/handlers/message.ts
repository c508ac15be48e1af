import type { Message, MessageEntity } from "grammy/types";
import { Temporal } from "temporal-polyfill";
import type { ChatKind } from "../../journal/ports.js";
import { addressing } from "../addressed.js";
import type { EdgeContext } from "../context.js";
import type { Desk, IncomingMessage } from "../desk.js";
import type { ChatFacts } from "../facts.js";
import { isAnonymousAdministrator } from "../updates.js";
import { authorOf } from "./author.js";
import { greet } from "./membership.js";
import { tellPrivacyOnce } from "./privacy.js";
import { answerStanding } from "./standing.js";
import { bindCollection } from "./topic.js";

/** A message or a new version of one: to the desk, unless it is plainly not for this bot. */
export function onMessage(desk: Desk, facts: ChatFacts, fallbackZone: string) {
  return async (ctx: EdgeContext): Promise<void> => {
    const message = ctx.message ?? ctx.editedMessage;
    if (!message) return;
    if (message.new_chat_title !== undefined) {
      await ctx.store.updateChat(message.chat.id, { title: message.new_chat_title });
      return;
    }
    const incoming = read(ctx, message, facts);
    if (!incoming) return;
    if (incoming.isPrivate && incoming.command?.name === "start" && !incoming.edited) {
      await greet(ctx, desk, facts);
      return;
    }
    await tellPrivacyOnce(ctx, message.chat.id);
    if (await bindCollection(incoming, ctx.store)) return;
    if (await answerStanding(incoming, ctx.store, fallbackZone)) return;
    await desk.message(incoming, ctx.store);
  };
}

function read(ctx: EdgeContext, message: Message, facts: ChatFacts): IncomingMessage | null {
  const raw = message.text ?? message.caption ?? "";
  const entities: MessageEntity[] = message.entities ?? message.caption_entities ?? [];
  const isPrivate = message.chat.type === "private";
  const said = addressing(raw, entities, ctx.me, isPrivate);
  const replyTo = repliedTo(message, ctx.me.id);
  const addressed = isPrivate || said.byWords || (replyTo?.fromBot ?? false);
  const forwarded = message.forward_origin !== undefined;
  if (said.elsewhere || (forwarded && !addressed)) return null;
  const anonymous = isAnonymousAdministrator(message);
  const location = message.location
    ? { latitude: message.location.latitude, longitude: message.location.longitude }
    : null;
  return {
    chatId: message.chat.id,
    chatKind: message.chat.type as ChatKind,
    chatTitle: message.chat.title ?? null,
    threadId: threadOf(message),
    messageId: message.message_id,
    text: said.text,
    rawText: raw,
    command: said.command,
    author: authorOf(
      anonymous ? null : (message.from ?? null),
      message.author_signature,
      message.chat.id,
      ctx.store,
      facts,
    ),
    addressed,
    isPrivate,
    at: Temporal.Instant.fromEpochMilliseconds(message.date * 1000),
    edited: ctx.editedMessage !== undefined,
    forwarded,
    replyTo,
    location,
  };
}

/** Only forum topics: in other supergroups the thread id names a chain of replies. */
export function threadOf(message: Pick<Message, "is_topic_message" | "message_thread_id">): number | null {
  return message.is_topic_message ? (message.message_thread_id ?? null) : null;
}

/** In a topic every message formally replies to the one that opened it: that is no reply. */
function repliedTo(message: Message, botId: number): IncomingMessage["replyTo"] {
  const replied = message.reply_to_message;
  if (!replied || replied.forum_topic_created) return null;
  if (message.is_topic_message && replied.message_id === message.message_thread_id) return null;
  return {
    messageId: replied.message_id,
    fromBot: replied.from?.id === botId,
    text: replied.text ?? replied.caption ?? "",
  };
}
