import type { CallbackQuery } from "grammy/types";
import type { Clock } from "../../clock.js";
import type { ChatKind } from "../../journal/ports.js";
import type { EdgeContext } from "../context.js";
import type { ButtonPress, Desk } from "../desk.js";
import type { ChatFacts } from "../facts.js";
import { authorOf } from "./author.js";
import { threadOf } from "./message.js";

/** A button press: to the desk; afterwards the press is closed, with the desk's notice if it gave one. */
export function onPress(desk: Desk, facts: ChatFacts, clock: Clock) {
  return async (ctx: EdgeContext): Promise<void> => {
    const query = ctx.callbackQuery;
    if (query?.data === undefined || !query.message) return;
    const answer = await desk.press(read(ctx, query, query.data, facts, clock), ctx.store);
    await ctx.store.say({
      chatId: query.message.chat.id,
      text: answer?.notice ?? "",
      callbackId: query.id,
      urgency: 0,
    });
  };
}

function read(
  ctx: EdgeContext,
  query: CallbackQuery,
  data: string,
  facts: ChatFacts,
  clock: Clock,
): ButtonPress {
  const message = query.message as NonNullable<CallbackQuery["message"]>;
  // A message too old to be shown comes with its id and a date of 0 only.
  const shown = message.date === 0 ? null : message;
  return {
    chatId: message.chat.id,
    chatKind: message.chat.type as ChatKind,
    threadId: shown ? threadOf(shown) : null,
    messageId: message.message_id,
    messageText: shown?.text ?? shown?.caption ?? "",
    data,
    author: authorOf(query.from, undefined, message.chat.id, ctx.store, facts),
    isPrivate: message.chat.type === "private",
    // Presses carry no time of their own; the service drops them after 150 s.
    at: clock.now(),
  };
}
