import type { EdgeContext } from "../context.js";
import { HEARS_ONLY_COMMANDS } from "../replies/en/edge.js";

/** Says once, in a group where plain sentences do not arrive, what to change. */
export async function tellPrivacyOnce(ctx: EdgeContext, chatId: number): Promise<void> {
  if (ctx.me.can_read_all_group_messages) return;
  const chat = await ctx.store.chat(chatId);
  if (!chat || chat.kind === "private" || chat.hearsAll === true) return;
  if (chat.state.botIsAdministrator === true || chat.state.privacyTold === true) return;
  await ctx.store.updateChat(chatId, { state: { ...chat.state, privacyTold: true } });
  await ctx.store.say({ chatId, text: HEARS_ONLY_COMMANDS, silent: true });
}
