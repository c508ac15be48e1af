import { createHash, timingSafeEqual } from "node:crypto";
import type { IncomingMessage, ServerResponse } from "node:http";
import { type Api, GrammyError } from "grammy";
import type { Update } from "grammy/types";
import { MessengerError } from "./errors.js";
import { ATTEMPTS, type Intake, storeOrPassOver } from "./intake.js";
import { ALLOWED_UPDATES } from "./updates.js";

export type Route = (request: IncomingMessage, response: ServerResponse) => void;

const SECRET_HEADER = "x-telegram-bot-api-secret-token";
const MOST_BYTES = 1_000_000;
/** The service brings an update again after this when it could not be stored. */
const RETRY_AFTER_SECONDS = 5;
/** Known to the service and to every process with the token, to nobody else. */
export const secretOf = (token: string): string =>
  createHash("sha256").update(`areole webhook ${token}`).digest("hex");

/**
 * Takes one update a request and answers 200 only once it is stored; 503 with Retry-After when it could not be.
 */
export function webhookRoute(secret: string, intake: Intake): Route {
  const failures = new Map<number, number>();
  const store = async (update: Update): Promise<void> => {
    const failed = failures.get(update.update_id) ?? 0;
    failures.set(update.update_id, failed + 1);
    if (failed < ATTEMPTS) await intake.store([update]);
    else await storeOrPassOver(update, intake);
    failures.delete(update.update_id);
  };
  return (request, response) => {
    const end = (status: number, headers = {}) => response.writeHead(status, headers).end();
    if (request.method !== "POST") return void end(405);
    if (!isSecret(request.headers[SECRET_HEADER], secret)) return void end(401);
    take(request).then(
      (update) =>
        store(update).then(
          () => end(200),
          (error: unknown) => {
            intake.log.error({ err: error, updateId: update.update_id }, "an update could not be stored");
            end(503, { "retry-after": String(RETRY_AFTER_SECONDS) });
          },
        ),
      () => end(400),
    );
  };
}

function isSecret(given: string | string[] | undefined, secret: string): boolean {
  if (typeof given !== "string" || given.length !== secret.length) return false;
  return timingSafeEqual(Buffer.from(given), Buffer.from(secret));
}

async function take(request: IncomingMessage): Promise<Update> {
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of request as AsyncIterable<Buffer>) {
    size += chunk.byteLength;
    // What is too large is read to its end all the same: the connection serves the next update too.
    if (size <= MOST_BYTES) chunks.push(chunk);
  }
  if (size > MOST_BYTES) throw new Error("too large");
  const update = JSON.parse(Buffer.concat(chunks).toString("utf8")) as Partial<Update> | null;
  if (typeof update?.update_id !== "number") throw new Error("not an update");
  return update as Update;
}

/** @throws {MessengerError} when the service does not take the address */
export async function askForWebhook(api: Api, url: string, secret: string): Promise<void> {
  try {
    await api.setWebhook(url, {
      secret_token: secret,
      allowed_updates: [...ALLOWED_UPDATES],
      max_connections: 40,
    });
  } catch (error) {
    if (!(error instanceof GrammyError) || error.error_code !== 400) throw error;
    throw new MessengerError(
      `The messenger does not take WEBHOOK_URL: ${error.description}. It must be a public https address on port 443, 80, 88 or 8443.`,
      { cause: error },
    );
  }
}
