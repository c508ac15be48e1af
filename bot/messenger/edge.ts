import { setTimeout as sleep } from "node:timers/promises";
import { Api, Bot, BotError } from "grammy";
import type { Update, UserFromGetMe } from "grammy/types";
import type { Logger } from "pino";
import type { Clock } from "../clock.js";
import type { Households, JournalStore, Outgoing } from "../journal/ports.js";
import { MENU } from "./commands.js";
import { EdgeContext } from "./context.js";
import type { Desk } from "./desk.js";
import { MessengerError } from "./errors.js";
import { ChatFacts } from "./facts.js";
import { onMembership } from "./handlers/membership.js";
import { onMessage } from "./handlers/message.js";
import { onPress } from "./handlers/press.js";
import type { Intake } from "./intake.js";
import { isRefusedToken, Poller, refusedToken } from "./poller.js";
import type { Delivery, Inbox, IncomingUpdate } from "./ports.js";
import { createSender } from "./sender.js";
import { migrationOf, toIncoming } from "./updates.js";
import { askForWebhook, type Route, secretOf, webhookRoute } from "./webhook.js";

export interface BotEdgeOptions {
  token: string;
  apiRoot: string;
  inbox: Inbox;
  households: Households;
  desk: Desk;
  clock: Clock;
  /** Zone of a household that has told none. */
  zone: string;
  log: Logger;
  /** Seconds a poll may wait at the service; default 50, its most. */
  pollSeconds?: number;
  /** Whether this process is the one that polls, where several work one database; default yes. */
  mayPoll?: () => Promise<boolean>;
  /** Lets the service bring updates to this public address instead of polling for them. */
  webhook?: { url: string };
}

/** The bot's side of the messenger: what comes in goes to the inbox, what is handled goes to the desk. */
export interface BotEdge {
  me: UserFromGetMe;
  /** Handles one stored update within its household's transaction; throws what the desk throws. */
  handle(update: IncomingUpdate, store: JournalStore): Promise<void>;
  /** Sends one message of the outbox. */
  send(message: Outgoing): Promise<Delivery>;
  /** Begins to poll, or has updates brought to the webhook; tells the messenger the command lists. */
  start(): Promise<void>;
  /** What answers at the webhook's path; null when polling. */
  webhook: { path: string; answer: Route } | null;
  /** Ends polling; what is stored stays to be handled. A webhook is left standing, for the next start or a replica. */
  stop(): Promise<void>;
  /** Nothing is asked of the service beside polling. */
  idle(): boolean;
  healthy(): boolean;
  /** Settles only when polling has ended for good; the message tells the operator what to mend. */
  failed: Promise<MessengerError>;
}

/**
 * Asks the service who the bot is, waiting while the service cannot be reached, and puts the edge together.
 * @throws {MessengerError} when the token is refused
 */
export async function createBotEdge(options: BotEdgeOptions, signal?: AbortSignal): Promise<BotEdge> {
  const { token, apiRoot, inbox, log } = options;
  const api = new Api(token, { apiRoot, timeoutSeconds: 90 });
  const me = await whoAmI(api, log, signal);
  if (!me.can_read_all_group_messages)
    log.warn("group privacy is on for this bot: in groups it hears plain sentences only as an administrator");
  const facts = new ChatFacts({ ...options, api, me });
  const bot = createBot(options, me, facts);
  const intake: Intake = {
    store: (updates) => receive(updates, inbox, facts),
    alive: async () => (await inbox.backlog()) >= 0,
    log,
  };
  const poller = new Poller({
    api,
    intake,
    pollSeconds: options.pollSeconds ?? 50,
    mayPoll: options.mayPoll ?? (async () => true),
  });
  const secret = secretOf(token);
  const url = options.webhook?.url;
  return {
    me,
    async handle(update, store) {
      const body = update.body as Update;
      EdgeContext.handledWith(body, store);
      try {
        await bot.handleUpdate(body);
      } catch (error) {
        throw error instanceof BotError ? error.error : error;
      }
    },
    send: createSender(api, log),
    async start() {
      await announce(api, log);
      if (url === undefined) {
        await api
          .deleteWebhook()
          .catch((error: unknown) => log.warn({ err: error }, "could not end a webhook"));
        poller.start();
      } else await askForWebhook(api, url, secret);
    },
    webhook: url === undefined ? null : { path: new URL(url).pathname, answer: webhookRoute(secret, intake) },
    async stop() {
      await poller.stop();
      await facts.stop();
    },
    idle: () => facts.idle(),
    healthy: () => url !== undefined || poller.healthy(),
    failed: poller.failed,
  };
}

/** Handlers write to the store; a call of the service from within a transaction is a mistake and fails. */
function createBot({ token, desk, clock, zone }: BotEdgeOptions, me: UserFromGetMe, facts: ChatFacts) {
  const bot = new Bot<EdgeContext>(token, { botInfo: me, ContextConstructor: EdgeContext });
  bot.api.config.use(async (_prev, method) => {
    throw new MessengerError(`${method} was called by a handler; handlers speak through the outbox`);
  });
  bot.on(["message", "edited_message"], onMessage(desk, facts, zone));
  bot.on("callback_query:data", onPress(desk, facts, clock));
  bot.on("my_chat_member", onMembership(desk, facts));
  return bot;
}

/** Stores a batch in order; an upgraded group is renumbered between what came before and what came after. */
async function receive(updates: readonly Update[], inbox: Inbox, facts: ChatFacts): Promise<void> {
  let waiting: IncomingUpdate[] = [];
  for (const update of updates) {
    const moved = migrationOf(update);
    if (moved) {
      if (waiting.length > 0) await inbox.receive(waiting);
      waiting = [];
      await inbox.migrateChat(moved.from, moved.to);
    }
    const incoming = toIncoming(update);
    if (incoming) waiting.push(incoming);
  }
  if (waiting.length > 0) await inbox.receive(waiting);
  for (const update of updates) facts.observe(update);
}

async function whoAmI(api: Api, log: Logger, signal?: AbortSignal): Promise<UserFromGetMe> {
  for (let seconds = 1; ; seconds = Math.min(seconds * 2, 60)) {
    try {
      return await api.getMe();
    } catch (error) {
      if (isRefusedToken(error)) throw refusedToken(error);
      log.warn({ err: error, seconds }, "the messenger cannot be reached; waiting");
      await sleep(seconds * 1000, undefined, { signal });
    }
  }
}

/** The menus are a courtesy: the bot works without them. */
async function announce(api: Api, log: Logger): Promise<void> {
  try {
    for (const type of ["all_private_chats", "all_group_chats"] as const)
      await api.setMyCommands(MENU, { scope: { type } });
  } catch (error) {
    log.warn({ err: error }, "could not set the command lists");
  }
}
