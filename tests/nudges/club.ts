import { rmSync } from "node:fs";
import { setTimeout as sleep } from "node:timers/promises";
import { pino } from "pino";
import { Temporal } from "temporal-polyfill";
import { type App, startApp } from "../../bot/app.js";
import { SettableClock } from "../../bot/clock.js";
import type { Mind } from "../../bot/journal/converse.js";
import { createMind } from "../../bot/journal/mind.js";
import type { JournalStore } from "../../bot/journal/ports.js";
import type { Interpretation } from "../../bot/language/interpretation.js";
import { createAftermath } from "../../bot/messenger/conversation/aftermath.js";
import { createDesk } from "../../bot/messenger/conversation/desk.js";
import { createMorningPress, typedMorning } from "../../bot/messenger/conversation/morning-press.js";
import { englishVoice } from "../../bot/messenger/replies/en/voice.js";
import { type StandIn, startStandIn } from "../../bot/messenger/stand-in/stand-in.js";
import type { Sent } from "../../bot/messenger/stand-in/world.js";
import { dueAnswer } from "../../bot/nudges/due-answer.js";
import { Follower } from "../../bot/nudges/follow.js";
import { Nudging } from "../../bot/nudges/nudging.js";
import { freshDataDir } from "../support/pglite.js";
import { KNOWLEDGE, TASKS } from "./collection.js";

const NO_LIMITS = { perSecond: 1_000, chatBurst: 1_000, groupPerMinute: 1_000_000 };

/** What sentences of these tests mean. How they are read is tested with the language. */
export type Script = Readonly<Record<string, Interpretation>>;

const NOTHING: Interpretation = { kind: "none" };

export function scriptedMind(script: Script): Mind {
  const read = (message: string) => script[message] ?? NOTHING;
  return createMind(
    { interpret: read, interpretReply: read, isCourtesy: () => false, isOnTopic: () => false },
    KNOWLEDGE,
    {
      due: (question, scope) => dueAnswer(question, scope, { knowledge: KNOWLEDGE, tasks: TASKS }),
      calculate: async (question) => ({ about: "unable", question, reason: "not_yet" }),
    },
  );
}

export interface ClubOptions {
  at: string;
  zone?: string;
  latitude?: number;
  reminderTime?: string;
  script?: Script;
  /** Keys of the calendar's tasks that are left on; the others are switched off. */
  tasks?: readonly string[];
  /** Holdings: genus and place, with the day of their last watering. */
  holdings?: readonly { genus: string; place: string; watered?: string }[];
}

/** The allotment club's chat on the shipped bot, an embedded database and the stand-in, over HTTP. */
export class Club {
  readonly clock: SettableClock;
  standIn!: StandIn;
  app!: App;
  group!: number;
  readonly people: Record<string, number> = {};
  #dataDir = "";
  #seen = 0;

  private constructor(readonly options: ClubOptions) {
    this.clock = new SettableClock(Temporal.Instant.from(options.at));
  }

  static async open(options: ClubOptions): Promise<Club> {
    const club = new Club(options);
    club.#dataDir = await freshDataDir();
    club.standIn = await startStandIn({ clock: club.clock });
    const { people } = club.standIn;
    for (const name of ["Ines", "Tomasz", "Priya"]) club.people[name] = people.addUser({ name }).id;
    const members = Object.values(club.people);
    club.group = people.addGroup({ title: "Glasshouse", members, admins: members.slice(0, 1) });
    await club.start();
    people.addBot(club.group, members[0] as number, "administrator");
    await club.settle();
    await club.within((store) => club.#furnish(store));
    await club.app.tick();
    club.heard();
    return club;
  }

  async start(): Promise<void> {
    const { clock, options } = this;
    const zone = "UTC";
    const log = pino({ level: "silent" });
    const follower = new Follower({ clock });
    this.app = await startApp({
      token: this.standIn.token,
      apiRoot: this.standIn.url,
      databaseUrl: null,
      dataDir: this.#dataDir,
      clock,
      zone,
      log,
      limits: NO_LIMITS,
      desk: () =>
        createDesk({
          mind: scriptedMind(options.script ?? {}),
          clock,
          fallbackZone: zone,
          onOutcome: createAftermath({ follower, knowledge: KNOWLEDGE, clock }),
          otherPress: createMorningPress(KNOWLEDGE),
          otherWords: typedMorning,
        }),
      nudging: ({ nudges: queue, households, width }) =>
        new Nudging({
          queue,
          households,
          clock,
          log,
          workers: width,
          knowledge: KNOWLEDGE,
          tasks: TASKS,
          voice: englishVoice(KNOWLEDGE.cautions),
          fallbackZone: zone,
        }),
    });
  }

  async #furnish(store: JournalStore): Promise<void> {
    const {
      zone = "Europe/Warsaw",
      latitude = 54.4,
      reminderTime = "07:30",
      holdings = [],
      tasks = [],
    } = this.options;
    await store.updateHousehold({
      zone,
      latitude,
      longitude: 18.6,
      hemisphere: latitude < 0 ? "south" : "north",
      reminderTime,
      tasks: Object.fromEntries(
        TASKS.tasks.filter(({ key }) => !tasks.includes(key)).map(({ key }) => [key, { off: true }]),
      ),
    });
    const ids = new Map<string, string>();
    for (const [name, value] of [
      ["Long House", 5],
      ["Warm Bench", 12],
    ] as const) {
      const floor = { value, unit: "Cel" };
      const place = { name, aliases: [], floor, floorC: value, kind: "glasshouse" as const };
      const { id } = await store.addPlace({ ...place, collectionId: null, isDefault: value === 5 });
      ids.set(name, id);
    }
    for (const { genus, place, watered } of holdings) {
      await addHolding(store, genus, ids.get(place) ?? null);
      if (watered) await addWatering(store, genus, ids.get(place) ?? null, watered);
    }
  }

  async within<T>(work: (store: JournalStore) => Promise<T>): Promise<T> {
    const household = (await this.app.store.inbox.householdOf(this.group)) as string;
    return this.app.store.households.within(household, work);
  }

  async settle(): Promise<void> {
    for (let quiet = 0; quiet < 2; await sleep(3)) {
      const idle = this.standIn.idle() && (await this.app.idle()) && this.standIn.idle();
      quiet = idle ? quiet + 1 : 0;
    }
  }

  /** Somebody writes. @returns what the bot then said */
  async say(name: string, text: string, replyTo?: number): Promise<Sent[]> {
    const by = this.people[name] as number;
    this.standIn.people.say(this.group, by, text, replyTo === undefined ? {} : { replyTo });
    await this.settle();
    return this.heard();
  }

  /** Somebody presses a button of a message, the bot's last one unless told. @returns what the bot then said */
  async press(name: string, label: string, messageId?: number): Promise<Sent[]> {
    const { world, people } = this.standIn;
    const chat = world.knownChat(this.group);
    const message =
      messageId ??
      [...chat.messages.values()].findLast(({ buttons }) => buttons.flat().some(({ text }) => text === label))
        ?.id;
    people.press(this.group, this.people[name] as number, message as number, label);
    await this.settle();
    return this.heard();
  }

  /** The bot's last message with buttons, as it stands now. */
  lastMessage() {
    const messages = [...this.standIn.world.knownChat(this.group).messages.values()];
    const last = messages.findLast(({ fromId }) => fromId === this.standIn.world.bot.id);
    if (!last) throw new Error("the bot has said nothing");
    return { id: last.id, text: last.text, buttons: last.buttons.flat().map(({ text }) => text) };
  }

  /** What the bot put before people since it was last asked. */
  heard(): Sent[] {
    const sent = this.standIn.world.sent.slice(this.#seen);
    this.#seen = this.standIn.world.sent.length;
    return sent;
  }

  /** Moves the clock on from one due moment to the next, as it passes when all runs. */
  async until(text: string): Promise<Sent[]> {
    const to = Temporal.Instant.from(text);
    for (;;) {
      const due = await this.app.nextDue();
      const next = due && Temporal.Instant.compare(due, to) < 0 ? due : to;
      if (Temporal.Instant.compare(next, this.clock.now()) > 0) this.clock.set(next);
      await this.app.tick();
      await this.settle();
      if (Temporal.Instant.compare(this.clock.now(), to) >= 0) return this.heard();
    }
  }

  /** Stops, lets time pass, starts again. */
  async downUntil(text: string): Promise<Sent[]> {
    await this.app.stop();
    this.clock.set(Temporal.Instant.from(text));
    await this.start();
    await this.app.tick();
    await this.settle();
    return this.heard();
  }

  async close(): Promise<void> {
    await this.app.stop();
    await this.standIn.close();
    rmSync(this.#dataDir, { recursive: true, force: true });
  }
}

export async function addHolding(store: JournalStore, genus: string, placeId: string | null): Promise<void> {
  await store.addPlant({
    collectionId: null,
    tag: null,
    name: null,
    genus,
    species: null,
    cultivar: null,
    fieldNumber: null,
    count: null,
    potDiameterCm: null,
    potMaterial: null,
    placeId,
    source: null,
    acquiredOn: null,
    sownOn: null,
    status: "alive",
  });
}

/** A watering by Ines at noon (UTC) of a day. */
export async function addWatering(
  store: JournalStore,
  genus: string,
  placeId: string | null,
  on: string,
): Promise<void> {
  const at = Temporal.Instant.from(`${on}T12:00:00Z`);
  const ines = await store.meetMember(null, "Ines");
  await store.addEntry({
    act: "water",
    entry: { act: "water", subjects: [{ genus }] },
    collectionId: null,
    placeId,
    from: at,
    to: at,
    reading: null,
    authorId: ines.id,
    person: "Ines",
    chatId: null,
    messageId: null,
    rawText: "watered",
    interpretation: null,
    note: null,
    amends: null,
  });
}

/** What was said to all, without edits and notices. */
export const messages = (sent: readonly Sent[]): string[] =>
  sent.filter(({ method }) => method === "sendMessage").map(({ text }) => text);
/** Local wall-clock of a message: "2027-01-16T07:30". */
export const localTime = (sent: Sent, zone: string): string =>
  Temporal.Instant.fromEpochMilliseconds(sent.at)
    .toZonedDateTimeISO(zone)
    .toPlainDateTime()
    .toString({ smallestUnit: "minute" });
