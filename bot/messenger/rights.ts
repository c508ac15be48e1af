import type { ChatKind } from "../journal/ports.js";
import type { SettingsRight } from "./desk.js";

/** People in a group in which everybody may change settings; in a larger one only administrators may. */
export const HANDFUL = 7;

export interface ChatStanding {
  kind: ChatKind;
  /** All members, the bot among them; null when not known yet. */
  memberCount: number | null;
  /** User ids; null when not known yet. */
  administrators: readonly number[] | null;
}

/**
 * The one rule on who may change a household's settings in a chat. Logging is everybody's.
 * @param userId null for an administrator who writes anonymously
 */
export function settingsRight(chat: ChatStanding, userId: number | null): SettingsRight {
  if (chat.kind === "private" || userId === null) return "yes";
  if (chat.memberCount !== null && chat.memberCount - 1 <= HANDFUL) return "yes";
  if (chat.administrators?.includes(userId)) return "yes";
  return chat.memberCount === null || chat.administrators === null ? "unknown" : "no";
}
