import { badRequest, conflict } from "./failures.js";
import type { Method } from "./methods-messages.js";
import type { Params } from "./params.js";
import type { KeptChat, MemberStatus, World } from "./world.js";

/** Asking about chats and members, the command lists, and the webhook's address. */
export const chatMethods: Record<string, Method> = {
  getMe: (world) => world.bot,

  getChat: (world, params) => ({ ...world.chatObject(present(world, params)), accent_color_id: 0 }),

  getChatMember(world, params) {
    const chat = present(world, params);
    const id = params.integer("user_id");
    if (id === undefined) throw badRequest("invalid user_id specified");
    return memberObject(world, id, statusIn(world, chat, id));
  },

  getChatAdministrators(world, params) {
    const chat = present(world, params);
    if (chat.kind === "private") throw badRequest("there are no administrators in the private chat");
    const all = [...chat.members, [world.bot.id, chat.bot] as const];
    return all
      .filter(([, status]) => status === "creator" || status === "administrator")
      .map(([id, status]) => memberObject(world, id, status));
  },

  getChatMemberCount(world, params) {
    const chat = present(world, params);
    if (chat.kind === "private") return 2;
    return [...chat.members.values()].filter((status) => status !== "left" && status !== "kicked").length + 1;
  },

  leaveChat(world, params) {
    const chat = present(world, params);
    if (chat.kind === "private") throw badRequest("chat member status can't be changed in private chats");
    chat.bot = "left";
    return true;
  },

  setMyCommands(world, params) {
    const commands = (params.json("commands") ?? []) as { command?: string; description?: string }[];
    if (commands.length > 100) throw badRequest("BOT_COMMANDS_TOO_MUCH");
    for (const { command, description } of commands) {
      if (!/^[a-z0-9_]{1,32}$/.test(command ?? "")) throw badRequest("BOT_COMMAND_INVALID");
      if (!description || description.length > 256) throw badRequest("BOT_COMMAND_DESCRIPTION_INVALID");
    }
    const scope = (params.json("scope") as { type?: string } | undefined)?.type ?? "default";
    world.commands.set(scope, commands);
    return true;
  },

  setWebhook(world, params) {
    const url = params.string("url") ?? "";
    const secret = params.string("secret_token") ?? "";
    if (url !== "" && !/^(https:|http:\/\/127\.0\.0\.1)/.test(url))
      throw badRequest("bad webhook: An HTTPS URL must be provided for webhook");
    if (!/^[\w-]{0,256}$/.test(secret)) throw badRequest("secret token contains unallowed characters");
    const allowed = params.json("allowed_updates") as string[] | undefined;
    if (allowed) world.updates.allowed = allowed.length > 0 ? new Set(allowed) : null;
    world.webhook = { url, secret };
    return true;
  },
  deleteWebhook(world, params) {
    world.webhook = { url: "", secret: "" };
    if (params.flag("drop_pending_updates")) world.updates.clear();
    return true;
  },
  getWebhookInfo: (world) => ({
    url: world.webhook.url,
    has_custom_certificate: false,
    pending_update_count: world.updates.pending,
  }),
};

/** @throws {ApiFailure} 409 while a webhook is set or another poll takes over */
export function getUpdates(world: World, params: Params, gone: AbortSignal): Promise<unknown> {
  if (world.webhook.url !== "")
    throw conflict(
      "can't use getUpdates method while webhook is active; use deleteWebhook to delete the webhook first",
    );
  const allowed = params.json("allowed_updates") as string[] | undefined;
  if (allowed) world.updates.allowed = allowed.length > 0 ? new Set(allowed) : null;
  const limit = Math.min(Math.max(params.integer("limit") ?? 100, 1), 100);
  const timeout = Math.min(Math.max(params.integer("timeout") ?? 0, 0), 50);
  return world.updates.poll(params.integer("offset"), limit, timeout, gone);
}

function present(world: World, params: Params): KeptChat {
  const id = params.integer("chat_id");
  if (id === undefined) throw badRequest("chat_id is empty");
  return world.chatToSpeakIn(id);
}

function statusIn(world: World, chat: KeptChat, id: number): MemberStatus {
  if (id === world.bot.id) return chat.bot;
  if (chat.kind === "private" && id === chat.id) return "member";
  return chat.members.get(id) ?? "left";
}

export function memberObject(world: World, id: number, status: MemberStatus): object {
  const base = { status, user: world.user(id) };
  if (status === "creator") return { ...base, is_anonymous: false };
  if (status === "kicked") return { ...base, until_date: 0 };
  if (status !== "administrator") return base;
  const rights = {
    can_be_edited: false,
    is_anonymous: false,
    can_manage_chat: true,
    can_delete_messages: true,
  };
  return { ...base, ...rights };
}
