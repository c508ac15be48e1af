import type { Temporal } from "temporal-polyfill";
import type {
  Act,
  Entry,
  Interpretation,
  OwnRule,
  Quantity,
  ReadingQuantity,
  Statistic,
  Subject,
} from "../language/interpretation.js";

/**
 * What the journal asks of the store. A `JournalStore` is bound to one household and to one open transaction:
 * nothing in it takes a household's id, so nothing in it can reach another household.
 */

/** Time-ordered UUID (version 7), made by the application. */
export type Id = string;

export interface Household {
  id: Id;
  name: string | null;
  /** IANA zone; null until it was told (then `effectiveZone` of the configuration counts). */
  zone: string | null;
  latitude: number | null;
  longitude: number | null;
  /** Words of the place as told: "Gdansk". */
  location: string | null;
  hemisphere: "north" | "south";
  units: "metric" | "imperial";
  /** BCP 47 of the messages it writes and reads. */
  locale: string;
  /** Local wall-clock "07:30". */
  reminderTime: string;
  /** ISO weekdays 1-7 on which the morning message may come. */
  reminderDays: number[];
  quietHours: { from: string; to: string } | null;
  /** Danger may speak in quiet hours; null until it was asked. */
  dangerAtNight: boolean | null;
  /** Calendar tasks switched off or moved: { "pest_look": {off:true}, "repot_window": {month:3} } */
  tasks: Record<string, { off?: boolean; month?: number }>;
  createdAt: Temporal.Instant;
}

export type ChatKind = "private" | "group" | "supergroup";
export interface Chat {
  chatId: number;
  kind: ChatKind;
  title: string | null;
  /** False once the bot was removed or blocked; data stays. */
  active: boolean;
  /** Members at the last look, for "more than a handful". */
  memberCount: number | null;
  /** Whether plain sentences reach the bot here (privacy mode off, or it is an administrator). */
  hearsAll: boolean | null;
  welcomedAt: Temporal.Instant | null;
  /** Where the conversation stands: the question just asked, the last answer (for "why"), genera mentioned. */
  state: ChatState;
}
export interface ChatState {
  pending?: unknown;
  /** The chain behind what was said last, and the lines that did not fit, as worded. */
  why?: string[];
  more?: string[];
  recentGenera?: string[];
  [key: string]: unknown;
}

export interface Member {
  id: Id;
  /** The messenger's user id; null for one known by name only. */
  userId: number | null;
  name: string;
}

export interface Collection {
  id: Id;
  name: string;
}

export interface Place {
  id: Id;
  collectionId: Id | null;
  name: string;
  aliases: string[];
  /** As told, with its unit. */
  floor: Quantity | null;
  /** The same in °C, for comparison. */
  floorC: number | null;
  kind: "glasshouse" | "bench" | "frame" | "room" | "outdoors" | null;
  isDefault: boolean;
}

export type PlantStatus = "alive" | "gone";
/** A tagged plant, or (without tag and name) a holding: "some aloes in the Long House". */
export interface Plant {
  id: Id;
  collectionId: Id | null;
  tag: string | null;
  name: string | null;
  genus: string;
  species: string | null;
  cultivar: string | null;
  fieldNumber: string | null;
  count: number | null;
  potDiameterCm: number | null;
  potMaterial: string | null;
  placeId: Id | null;
  source: string | null;
  acquiredOn: string | null;
  sownOn: string | null;
  status: PlantStatus;
  createdAt: Temporal.Instant;
}

/**
 * An Interpretation as kept with its entry, with what the entry changed in the list of plants, and the press of a
 * button or the correction that wrote it: entries of one press are taken back together.
 */
export type Interpreted = Interpretation & { effects?: unknown[]; press?: string };

/** An entry as it stands in the journal. Entries are never overwritten: an amendment adds one and retracts the old. */
export interface JournalEntry {
  id: Id;
  act: Act;
  /** The Entry as interpreted, with what the journal filled in. */
  entry: Entry;
  collectionId: Id | null;
  placeId: Id | null;
  /** Half-open range in time; local wall-clock stands in `entry.when`. */
  from: Temporal.Instant;
  to: Temporal.Instant;
  /** Of a reading: quantity, statistic and value in °C, %, lx or kWh. */
  reading: { quantity: ReadingQuantity; statistic: Statistic; value: number } | null;
  authorId: Id | null;
  /** Who did it: the words, or the author's name. */
  person: string | null;
  chatId: number | null;
  messageId: number | null;
  rawText: string;
  interpretation: Interpreted | null;
  note: string | null;
  /** The entry this one replaced. */
  amends: Id | null;
  /** Set when it was undone or replaced. */
  retracted: { reason: "undo" | "amend"; by: Id | null; at: Temporal.Instant; replacedBy: Id | null } | null;
  writtenAt: Temporal.Instant;
}
export type NewEntry = Omit<JournalEntry, "id" | "retracted" | "writtenAt">;

export interface EntryFilter {
  acts?: readonly Act[];
  /** Overlapping [from, to). */
  from?: Temporal.Instant;
  to?: Temporal.Instant;
  placeId?: Id;
  collectionId?: Id;
  chatId?: number;
  messageId?: number;
  authorId?: Id;
  /** Also those undone or replaced; default false. */
  retracted?: boolean;
  /** Default "latest first" by `from`, then by id. */
  order?: "latest" | "oldest" | "written";
  limit?: number;
}

export interface HouseholdRule {
  id: Id;
  rule: OwnRule;
  saidBy: string;
  saidAt: Temporal.Instant;
  rawText: string;
}

export type ReminderKind =
  | "morning"
  | "told"
  | "danger"
  | "danger_again"
  | "snooze"
  | "away"
  | "return"
  | "ask";
export interface Reminder {
  id: Id;
  kind: ReminderKind;
  /** Makes it unique with kind and local date; e.g. a place's id for danger. */
  subject: string;
  localDate: string;
  dueAt: Temporal.Instant;
  chatId: number | null;
  payload: unknown;
  state: "waiting" | "done" | "dropped";
}
export type NewReminder = Omit<Reminder, "id" | "state">;
export interface ReminderFilter {
  ids?: Id[];
  kinds?: ReminderKind[];
  state?: Reminder["state"];
  /** Of these local dates and later. */
  sinceDate?: string;
}

/** A button under a message. `data` is at most 64 bytes; `label` is also what typing the word does. */
export interface Button {
  label: string;
  data: string;
}
/** A message on its way out. Text is plain: the edge escapes it for the messenger. */
export interface Outgoing {
  chatId: number;
  threadId?: number;
  text: string;
  buttons?: Button[][];
  replyTo?: number;
  /** Without a sound. */
  silent?: boolean;
  /** Replaces the text of a message sent before instead of writing a new one. */
  edit?: number;
  /** One emoji set on a message instead of a text. */
  reaction?: { messageId: number; emoji: string };
  /** Closes a button press. */
  callbackId?: string;
  file?: { name: string; mime: string; base64: string; caption?: string };
  /** Sent before others when the limits bite: danger 0, replies 1, nudges 2. */
  urgency?: 0 | 1 | 2;
  /** Remembered with the sent message, so that a reply to it or "why" finds its entries. */
  about?: { entryIds?: Id[]; kind?: string };
}

export interface JournalStore {
  householdId: Id;

  household(): Promise<Household>;
  updateHousehold(patch: Partial<Omit<Household, "id" | "createdAt">>): Promise<void>;

  chats(): Promise<Chat[]>;
  chat(chatId: number): Promise<Chat | null>;
  updateChat(chatId: number, patch: Partial<Omit<Chat, "chatId">>): Promise<void>;
  /** The topic's collection, where one was bound. */
  topicCollection(chatId: number, threadId: number): Promise<Collection | null>;
  bindTopic(chatId: number, threadId: number, collectionId: Id): Promise<void>;

  members(): Promise<Member[]>;
  /** Finds by user id, else by name among those without one, else adds. Keeps the name up to date. */
  meetMember(userId: number | null, name: string): Promise<Member>;

  collections(): Promise<Collection[]>;
  addCollection(name: string): Promise<Collection>;

  places(): Promise<Place[]>;
  addPlace(place: Omit<Place, "id">): Promise<Place>;
  updatePlace(id: Id, patch: Partial<Omit<Place, "id">>): Promise<void>;
  removePlace(id: Id): Promise<void>;

  /** Alive ones unless `gone` is asked for too. */
  plants(options?: { gone?: boolean }): Promise<Plant[]>;
  addPlant(plant: Omit<Plant, "id" | "createdAt">): Promise<Plant>;
  updatePlant(id: Id, patch: Partial<Omit<Plant, "id" | "createdAt">>): Promise<void>;

  addEntry(entry: NewEntry): Promise<JournalEntry>;
  entry(id: Id): Promise<JournalEntry | null>;
  entries(filter: EntryFilter): Promise<JournalEntry[]>;
  retract(
    id: Id,
    retraction: { reason: "undo" | "amend"; by: Id | null; replacedBy?: Id | null },
  ): Promise<boolean>;

  rules(): Promise<HouseholdRule[]>;
  addRule(rule: Omit<HouseholdRule, "id">): Promise<HouseholdRule>;
  liftRule(id: Id): Promise<void>;

  /** False when one with the same kind, subject and local date exists already. */
  addReminder(reminder: NewReminder): Promise<boolean>;
  reminders(filter?: ReminderFilter): Promise<Reminder[]>;
  updateReminder(
    id: Id,
    patch: Partial<Pick<Reminder, "state" | "dueAt" | "payload" | "chatId">>,
  ): Promise<void>;

  /** Puts a message into the outbox; it leaves after the transaction has committed. */
  say(message: Outgoing): Promise<Id>;
  /** What was said in a message of the bot's, by the messenger's message id. */
  saidIn(chatId: number, messageId: number): Promise<Outgoing["about"] | null>;
}

/** The households of one database, each opened on its own. */
export interface Households {
  /** Runs `work` in one transaction that sees one household only. */
  within<T>(householdId: Id, work: (store: JournalStore) => Promise<T>): Promise<T>;
}

export type { Subject };
