import type { ChatKind } from "../../journal/ports.js";
import type { EdgeContext } from "../context.js";
import type { ChatJoined, Desk } from "../desk.js";
import { type ChatFacts, isPresent } from "../facts.js";
import { greeting, HEARS_ALL_NOW } from "../replies/en/edge.js";
import { authorOf } from "./author.js";

/** The bot's own standing in a chat changed: added, removed, made administrator, blocked. */
export function onMembership(desk: Desk, facts: ChatFacts) {
  return async (ctx: EdgeContext): Promise<void> => {
    const change = ctx.myChatMember;
    if (!change) return;
    const { id: chatId, type } = change.chat;
    const before = isPresent(change.old_chat_member.status);
    const now = isPresent(change.new_chat_member.status);
    if (!now) {
      await ctx.store.updateChat(chatId, { active: false });
      await desk.left?.({ chatId, chatKind: type as ChatKind }, ctx.store);
      return;
    }
    const botIsAdministrator = change.new_chat_member.status === "administrator";
    const hearsAll = type === "private" || ctx.me.can_read_all_group_messages || botIsAdministrator;
    const chat = await ctx.store.chat(chatId);
    const told = chat?.state.privacyTold === true;
    const state = { ...chat?.state, botIsAdministrator, ...(hearsAll ? { privacyTold: false } : {}) };
    await ctx.store.updateChat(chatId, { active: true, hearsAll, state });
    // A private chat is greeted at "/start", which comes with it.
    if (!before && type !== "private") await greet(ctx, desk, facts);
    else if (told && hearsAll) await ctx.store.say({ chatId, text: HEARS_ALL_NOW, silent: true });
  };
}

/** Three short lines on what the bot does, with the one question it needs answered most. */
export async function greet(ctx: EdgeContext, desk: Desk, facts: ChatFacts): Promise<void> {
  const chatId = ctx.chat?.id;
  const chat = chatId === undefined ? null : await ctx.store.chat(chatId);
  if (chatId === undefined || !chat) return;
  const household = await ctx.store.household();
  const isPrivate = chat.kind === "private";
  const joined: ChatJoined = {
    chatId,
    chatKind: chat.kind,
    title: chat.title,
    isPrivate,
    first: chat.welcomedAt === null,
    hearsAll: isPrivate || chat.hearsAll === true,
    askedFor: household.latitude === null && household.zone === null ? "location" : null,
    by: authorOf(ctx.from ?? null, undefined, chatId, ctx.store, facts),
  };
  const asksWhere = joined.askedFor !== null;
  await ctx.store.say({ chatId, text: greeting({ ...joined, asksWhere }) });
  await ctx.store.updateChat(chatId, {
    active: true,
    welcomedAt: facts.now(),
    state: { ...chat.state, ...(joined.hearsAll ? {} : { privacyTold: true }) },
  });
  await desk.joined?.(joined, ctx.store);
}
