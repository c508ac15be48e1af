import { type Api, InputFile } from "grammy";
import type { InlineKeyboardMarkup, ReactionTypeEmoji } from "grammy/types";
import type { Logger } from "pino";
import type { Button, Outgoing } from "../journal/ports.js";
import { deliveryOfError } from "./deliveries.js";
import { CAPTION_LIMIT, escapeHtml, shorten, TEXT_LIMIT } from "./html.js";
import type { Delivery } from "./ports.js";

const NOTICE_LIMIT = 200;
const DATA_LIMIT_BYTES = 64;
/** Of a picture; a larger one goes as a document. @source Bot API documentation */
const PICTURE_LIMIT_BYTES = 10 * 2 ** 20;

/**
 * Sends one message of the outbox by exactly one call (two for an edit that also closes a press), so that a
 * repeated delivery repeats no more than that.
 *
 * - `callbackId` with `edit`: edits, and closes the press; `callbackId` alone: closes it, `text` as the notice.
 * - `reaction`: sets one emoji; refused where the chat does not allow it, which nobody needs to be told.
 * - `file`: a PNG or JPEG as a picture, everything else as a document, `caption` or `text` below it.
 * - a text beyond the service's limit goes as a text file with its beginning as the caption: nothing is lost.
 */
export function createSender(api: Api, log: Logger): (message: Outgoing) => Promise<Delivery> {
  return async (message) => {
    const unusable = message.buttons?.flat().filter(isTooLong).length ?? 0;
    if (unusable > 0) log.error({ unusable }, "buttons whose data exceeds 64 bytes were left out");
    try {
      return { kind: "sent", messageId: await deliver(api, message) };
    } catch (error) {
      return deliveryOfError(error);
    }
  };
}

async function deliver(api: Api, message: Outgoing): Promise<number | null> {
  if (message.reaction) {
    const { messageId, emoji } = message.reaction;
    const reaction = [{ type: "emoji", emoji: emoji as ReactionTypeEmoji["emoji"] } as const];
    await api.setMessageReaction(message.chatId, messageId, emoji === "" ? [] : reaction);
    return null;
  }
  if (message.callbackId !== undefined && message.edit === undefined) {
    await closePress(api, message.callbackId, message.text);
    return null;
  }
  if (message.edit !== undefined) {
    await edit(api, message, message.edit);
    if (message.callbackId !== undefined)
      await closePress(api, message.callbackId, "").catch(() => undefined);
    return message.edit;
  }
  if (message.file) return sendFile(api, message, message.file);
  if (message.text.length > TEXT_LIMIT) return sendFile(api, message, asTextFile(message.text));
  const sent = await api.sendMessage(message.chatId, escapeHtml(message.text), {
    parse_mode: "HTML",
    link_preview_options: { is_disabled: true },
    ...placement(message),
  });
  return sent.message_id;
}

async function closePress(api: Api, id: string, notice: string): Promise<void> {
  const text = shorten(notice, NOTICE_LIMIT);
  await api.answerCallbackQuery(id, text === "" ? {} : { text });
}

async function edit(api: Api, message: Outgoing, messageId: number): Promise<void> {
  await api.editMessageText(message.chatId, messageId, escapeHtml(shorten(message.text, TEXT_LIMIT)), {
    parse_mode: "HTML",
    link_preview_options: { is_disabled: true },
    ...markup(message.buttons),
  });
}

async function sendFile(
  api: Api,
  message: Outgoing,
  file: NonNullable<Outgoing["file"]>,
): Promise<number | null> {
  const bytes = Buffer.from(file.base64, "base64");
  const input = new InputFile(bytes, safeName(file.name));
  const options = {
    caption: escapeHtml(shorten(file.caption ?? message.text, CAPTION_LIMIT)),
    parse_mode: "HTML" as const,
    ...placement(message),
  };
  const picture = /^image\/(png|jpeg)$/.test(file.mime) && bytes.byteLength <= PICTURE_LIMIT_BYTES;
  const sent = picture
    ? await api.sendPhoto(message.chatId, input, options)
    : await api.sendDocument(message.chatId, input, options);
  return sent.message_id;
}

/** The client writes the name into a header as it is. */
const safeName = (name: string): string => name.replaceAll(/[^\p{L}\p{N}._-]+/gu, "-").slice(-120) || "file";

function asTextFile(text: string): NonNullable<Outgoing["file"]> {
  return {
    name: "answer.txt",
    mime: "text/plain",
    base64: Buffer.from(text, "utf8").toString("base64"),
    caption: shorten(text, CAPTION_LIMIT),
  };
}

/** Where it stands and how it arrives: topic, the message it answers, sound, buttons. */
function placement(message: Outgoing) {
  return {
    // The general topic has id 1 but must not be named when sending.
    ...(message.threadId === undefined || message.threadId === 1
      ? {}
      : { message_thread_id: message.threadId }),
    ...(message.replyTo === undefined
      ? {}
      : { reply_parameters: { message_id: message.replyTo, allow_sending_without_reply: true } }),
    ...(message.silent ? { disable_notification: true } : {}),
    ...markup(message.buttons),
  };
}

/** The service would refuse the whole message for one such button; the words must arrive all the same. */
const isTooLong = (button: Button): boolean => Buffer.byteLength(button.data) > DATA_LIMIT_BYTES;

function markup(buttons: Outgoing["buttons"]): { reply_markup?: InlineKeyboardMarkup } {
  const rows = (buttons ?? [])
    .map((row) => row.filter((button) => !isTooLong(button)))
    .filter((row) => row.length > 0);
  if (rows.length === 0) return {};
  return {
    reply_markup: {
      inline_keyboard: rows.map((row) =>
        row.map(({ label, data }) => ({ text: label, callback_data: data })),
      ),
    },
  };
}
