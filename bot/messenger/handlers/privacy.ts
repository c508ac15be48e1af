import type { EdgeContext } from "../context.js";
import { HEARS_ONLY_COMMANDS } from "../replies/en/edge.js";

/** Says once, in a group where plain sentences do not arrive, what to change. */
export async function tellPrivacyOnce(ctx: EdgeContext, chatId: number): Promise<void> {
  const chat = await ctx.store.chat(chatId);
  if (!chat || chat.kind === "private") return;
  const hearsAll = ctx.me.can_read_all_group_messages || chat.state.botIsAdministrator === true;
  if (chat.hearsAll !== hearsAll && chat.hearsAll !== true) await ctx.store.updateChat(chatId, { hearsAll });
  if (hearsAll || chat.hearsAll === true || chat.state.privacyTold === true) return;
  await ctx.store.updateChat(chatId, { state: { ...chat.state, privacyTold: true } });
  await ctx.store.say({ chatId, text: HEARS_ONLY_COMMANDS, silent: true });
}
