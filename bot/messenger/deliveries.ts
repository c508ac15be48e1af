import { GrammyError, HttpError } from "grammy";
import type { Delivery } from "./ports.js";

/** First wait after a failure on the service's side or on the way there, in seconds; the outbox doubles it. */
const BACK_OFF_SECONDS = 2;

/**
 * What a failed call means for the message: wait, give it up, or send it elsewhere.
 * @throws whatever is neither the service's answer nor a broken connection: a defect of ours
 */
export function deliveryOfError(error: unknown): Delivery {
  if (error instanceof HttpError)
    return { kind: "later", afterSeconds: BACK_OFF_SECONDS, reason: "the connection failed" };
  if (!(error instanceof GrammyError)) throw error;
  const { error_code: code, description, parameters } = error;
  if (parameters.migrate_to_chat_id !== undefined)
    return { kind: "moved", chatId: parameters.migrate_to_chat_id };
  if (code === 429)
    return { kind: "later", afterSeconds: parameters.retry_after ?? BACK_OFF_SECONDS, reason: description };
  // A wrong token is the operator's to mend; nothing of ours is lost meanwhile.
  if (code >= 500 || code === 401 || code === 409)
    return { kind: "later", afterSeconds: BACK_OFF_SECONDS, reason: description };
  if (code === 403) return { kind: "gone", reason: description };
  if (description.includes("message is not modified")) return { kind: "sent", messageId: null };
  return { kind: "refused", reason: description };
}
