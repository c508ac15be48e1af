import type { Message } from "grammy/types";
import { ApiFailure, badRequest } from "./failures.js";
import { plainOfHtml } from "./html.js";
import type { Params, UploadedFile } from "./params.js";
import type { InlineButton, KeptChat, KeptMessage, World } from "./world.js";

/** @source Bot API documentation: text 1-4096 and captions 0-1024 after entity parsing, callback data 1-64 bytes, answers 0-200 */
const MOST = {
  text: 4096,
  caption: 1024,
  callbackBytes: 64,
  notice: 200,
  file: 50 * 2 ** 20,
  photo: 10 * 2 ** 20,
};
/** A press can be answered this long, in seconds. @source Bot API server code */
const PRESS_SECONDS = 150;
const DELETABLE_SECONDS = 48 * 3600;

export type Method = (world: World, params: Params) => unknown;

export const messageMethods: Record<string, Method> = {
  sendMessage(world, params) {
    const chat = speakIn(world, params);
    const { text, source } = readText(params, "text");
    return speak(world, params, chat, "sendMessage", { text, source });
  },

  sendDocument: (world, params) => sendFile(world, params, "sendDocument", "document", MOST.file),
  sendPhoto: (world, params) => sendFile(world, params, "sendPhoto", "photo", MOST.photo),

  editMessageText(world, params) {
    const { chat, message } = ownMessage(world, params);
    const { text, source } = readText(params, "text");
    const buttons = readButtons(params);
    return change(world, chat, message, "editMessageText", { text, source, buttons });
  },

  editMessageReplyMarkup(world, params) {
    const { chat, message } = ownMessage(world, params);
    return change(world, chat, message, "editMessageReplyMarkup", { buttons: readButtons(params) });
  },

  deleteMessage(world, params) {
    const chat = speakIn(world, params);
    const message = chat.messages.get(params.integer("message_id") ?? Number.NaN);
    if (!message) throw badRequest("message to delete not found");
    if (world.seconds() - message.date > DELETABLE_SECONDS) throw badRequest("message can't be deleted");
    chat.messages.delete(message.id);
    world.record({
      method: "deleteMessage",
      chatId: chat.id,
      messageId: message.id,
      text: "",
      buttons: [],
      silent: true,
    });
    return true;
  },

  answerCallbackQuery(world, params) {
    const press = world.presses.get(params.string("callback_query_id") ?? "");
    if (!press || press.answered || world.seconds() - press.at > PRESS_SECONDS)
      throw badRequest("query is too old and response timeout expired or query ID is invalid");
    const text = params.string("text") ?? "";
    if (text.length > MOST.notice) throw badRequest("MESSAGE_TOO_LONG");
    press.answered = true;
    if (text !== "")
      world.record({
        method: "answerCallbackQuery",
        chatId: 0,
        messageId: null,
        text,
        buttons: [],
        silent: true,
        notice: true,
      });
    return true;
  },

  setMessageReaction(world, params) {
    const chat = speakIn(world, params);
    const message = chat.messages.get(params.integer("message_id") ?? Number.NaN);
    if (!message) throw badRequest("message to react not found");
    const list = (params.json("reaction") ?? []) as { type?: string; emoji?: string }[];
    if (!Array.isArray(list) || list.length > 1) throw badRequest("REACTIONS_TOO_MANY");
    const emoji = list[0]?.emoji ?? null;
    if (emoji !== null && (!REACTIONS.has(emoji) || (chat.reactions && !chat.reactions.includes(emoji))))
      throw badRequest("REACTION_INVALID");
    if (emoji === null) delete message.reactions?.[world.bot.id];
    else message.reactions = { ...message.reactions, [world.bot.id]: emoji };
    world.record({
      method: "setMessageReaction",
      chatId: chat.id,
      messageId: message.id,
      text: "",
      buttons: [],
      silent: true,
      reaction: { emoji },
    });
    return true;
  },
};

function speakIn(world: World, params: Params): KeptChat {
  const id = params.integer("chat_id");
  if (id === undefined) throw badRequest("chat_id is empty");
  return world.chatToSpeakIn(id);
}

function readText(params: Params, name: "text" | "caption"): { text: string; source: string } {
  const source = params.string(name) ?? "";
  const mode = params.string("parse_mode");
  if (mode !== undefined && mode.toUpperCase() !== "HTML") throw badRequest("unsupported parse_mode");
  const text = (mode === undefined ? source : plainOfHtml(source)).trim();
  if (name === "text" && text === "") throw badRequest("message text is empty");
  if (text.length > MOST[name])
    throw badRequest(name === "text" ? "message is too long" : "message caption is too long");
  return { text, source };
}

/** @throws {ApiFailure} 400 for a markup that is not a table of buttons, or for data beyond 64 bytes */
function readButtons(params: Params): InlineButton[][] {
  const markup = params.json("reply_markup") as { inline_keyboard?: unknown } | undefined;
  if (markup?.inline_keyboard === undefined) return [];
  const rows = markup.inline_keyboard;
  if (!Array.isArray(rows) || !rows.every(Array.isArray)) throw badRequest("object expected as reply markup");
  return (rows as InlineButton[][])
    .filter((row) => row.length > 0)
    .map((row) =>
      row.map((button) => {
        if (!button.text?.trim()) throw badRequest("inline keyboard button text must be non-empty");
        if (button.url === undefined && button.callback_data === undefined)
          throw badRequest("text buttons are unallowed in the inline keyboard");
        const bytes = Buffer.byteLength(button.callback_data ?? "x");
        if (bytes < 1 || bytes > MOST.callbackBytes) throw badRequest("BUTTON_DATA_INVALID");
        return button;
      }),
    );
}

function speak(
  world: World,
  params: Params,
  chat: KeptChat,
  method: string,
  content: { text: string; source: string; upload?: { file: UploadedFile; photo: boolean } },
): Message {
  const buttons = readButtons(params);
  const threadId = params.integer("message_thread_id");
  if (threadId !== undefined && threadId !== 1 && !chat.topics.has(threadId))
    throw badRequest("message thread not found");
  const reply = params.json("reply_parameters") as
    | { message_id?: number; allow_sending_without_reply?: boolean }
    | undefined;
  const replyTo = reply?.message_id;
  const found = replyTo !== undefined && chat.messages.has(replyTo);
  if (replyTo !== undefined && !found && !reply?.allow_sending_without_reply)
    throw badRequest("message to be replied not found");
  const silent = params.flag("disable_notification");
  const upload = content.upload;
  const kept = world.keep(chat, {
    fromId: world.bot.id,
    date: world.seconds(),
    text: content.text,
    source: content.source,
    buttons,
    ...(threadId === undefined ? {} : { threadId }),
    ...(found ? { replyTo } : {}),
    ...(upload
      ? {
          file: {
            name: upload.file.name,
            mime: upload.file.mime,
            size: upload.file.bytes.byteLength,
            photo: upload.photo,
          },
        }
      : {}),
  });
  chat.botSpokeLast = true;
  world.record({
    method,
    chatId: chat.id,
    messageId: kept.id,
    text: content.text,
    buttons,
    silent,
    ...(threadId === undefined ? {} : { threadId }),
    ...(found ? { replyTo } : {}),
    ...(upload ? { file: { ...upload.file, photo: upload.photo } } : {}),
  });
  return world.messageObject(chat, kept);
}

function sendFile(world: World, params: Params, method: string, field: string, most: number): Message {
  const chat = speakIn(world, params);
  const file = params.file(field);
  if (!file) throw badRequest(`there is no ${field} in the request`);
  if (file.bytes.byteLength === 0) throw badRequest("file must be non-empty");
  if (file.bytes.byteLength > most) throw new ApiFailure(413, "Request Entity Too Large");
  const { text, source } = readText(params, "caption");
  return speak(world, params, chat, method, { text, source, upload: { file, photo: field === "photo" } });
}

function ownMessage(world: World, params: Params): { chat: KeptChat; message: KeptMessage } {
  const chat = speakIn(world, params);
  const message = chat.messages.get(params.integer("message_id") ?? Number.NaN);
  if (!message) throw badRequest("message to edit not found");
  if (message.fromId !== world.bot.id) throw badRequest("message can't be edited");
  return { chat, message };
}

function change(
  world: World,
  chat: KeptChat,
  message: KeptMessage,
  method: string,
  change: { text?: string; source?: string; buttons: InlineButton[][] },
): Message {
  const text = change.text ?? message.text;
  const same = text === message.text && JSON.stringify(change.buttons) === JSON.stringify(message.buttons);
  if (same)
    throw badRequest(
      "message is not modified: specified new message content and reply markup are exactly the same as a " +
        "current content and reply markup of the message",
    );
  if (change.text !== undefined && message.file) throw badRequest("there is no text in the message to edit");
  Object.assign(message, { text, source: change.source ?? message.source, buttons: change.buttons });
  world.record({
    method,
    chatId: chat.id,
    messageId: message.id,
    text,
    buttons: change.buttons,
    silent: true,
    ...(message.threadId === undefined ? {} : { threadId: message.threadId }),
  });
  return world.messageObject(chat, message);
}

/** What a bot may react with. @source Bot API documentation, ReactionTypeEmoji */
const REACTIONS = new Set(
  (
    "👍 👎 ❤ 🔥 🥰 👏 😁 🤔 🤯 😱 🤬 😢 🎉 🤩 🤮 💩 🙏 👌 🕊 🤡 🥱 🥴 😍 🐳 ❤‍🔥 🌚 🌭 💯 🤣 ⚡ 🍌 🏆 💔 🤨 😐 🍓 🍾 💋 🖕 😈 😴 😭 " +
    "🤓 👻 👨‍💻 👀 🎃 🙈 😇 😨 🤝 ✍ 🤗 🫡 🎅 🎄 ☃ 💅 🤪 🗿 🆒 💘 🙉 🦄 😘 💊 🙊 😎 👾 🤷‍♂ 🤷 🤷‍♀ 😡"
  ).split(" "),
);
