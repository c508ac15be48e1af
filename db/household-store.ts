import type { Clock } from "../bot/clock.js";
import type {
  Chat,
  EntryFilter,
  Household,
  HouseholdRule,
  Id,
  JournalStore,
  NewEntry,
  NewReminder,
  Outgoing,
  Place,
  Plant,
  Reminder,
  ReminderFilter,
} from "../bot/journal/ports.js";
import type { Link } from "./engine.js";
import * as journal from "./queries/entries.js";
import * as home from "./queries/households.js";
import { DEFAULT_URGENCY, type Marks, putMessage, saidIn } from "./queries/outgoing.js";
import * as collection from "./queries/plants.js";
import * as nudges from "./queries/reminders.js";

export interface StoreTime {
  /** The journal's time: may be simulated. */
  clock: Clock;
  /** Real time: leases, back-off, the messenger's limits. */
  pulse: Clock;
  newId: () => Id;
}

/** One household within one open transaction. */
export class HouseholdStore implements JournalStore {
  /** Chats that got a message here. */
  readonly marks: Marks = new Map();
  readonly #link: Link;
  readonly #time: StoreTime;

  constructor(
    readonly householdId: Id,
    link: Link,
    time: StoreTime,
  ) {
    this.#link = link;
    this.#time = time;
  }

  household = () => home.theHousehold(this.#link, this.householdId);
  updateHousehold = (patch: Partial<Omit<Household, "id" | "createdAt">>) =>
    home.changeHousehold(this.#link, this.householdId, patch);

  chats = () => home.allChats(this.#link, this.householdId);
  chat = (chatId: number) => home.oneChat(this.#link, this.householdId, chatId);
  updateChat = (chatId: number, patch: Partial<Omit<Chat, "chatId">>) =>
    home.changeChat(this.#link, this.householdId, chatId, patch);
  topicCollection = (chatId: number, threadId: number) =>
    home.collectionOfTopic(this.#link, this.householdId, chatId, threadId);
  bindTopic = (chatId: number, threadId: number, collectionId: Id) =>
    home.bindTopic(this.#link, this.householdId, chatId, threadId, collectionId);

  members = () => home.allMembers(this.#link, this.householdId);
  meetMember = (userId: number | null, name: string) =>
    home.meetMember(this.#link, this.householdId, {
      householdId: this.householdId,
      id: this.#time.newId(),
      userId,
      name,
      metAt: this.#now(),
    });

  collections = () => home.allCollections(this.#link, this.householdId);
  addCollection = (name: string) =>
    home.collectionNamed(this.#link, this.householdId, this.#time.newId(), name);

  places = () => collection.allPlaces(this.#link, this.householdId);
  addPlace = (place: Omit<Place, "id">) =>
    collection.addPlace(this.#link, this.householdId, this.#time.newId(), place);
  updatePlace = (id: Id, patch: Partial<Omit<Place, "id">>) =>
    collection.changePlace(this.#link, this.householdId, id, patch);
  removePlace = (id: Id) => collection.removePlace(this.#link, this.householdId, id, this.#now());

  plants = (options?: { gone?: boolean }) =>
    collection.allPlants(this.#link, this.householdId, options?.gone ?? false);
  addPlant = (plant: Omit<Plant, "id" | "createdAt">) =>
    collection.addPlant(this.#link, {
      ...plant,
      householdId: this.householdId,
      id: this.#time.newId(),
      createdAt: this.#now(),
    });
  updatePlant = (id: Id, patch: Partial<Omit<Plant, "id" | "createdAt">>) =>
    collection.changePlant(this.#link, this.householdId, id, patch);

  addEntry = (entry: NewEntry) =>
    journal.addEntry(this.#link, this.householdId, this.#time.newId(), entry, this.#now());
  entry = (id: Id) => journal.oneEntry(this.#link, this.householdId, id);
  entries = (filter: EntryFilter) => journal.entriesWhere(this.#link, this.householdId, filter);
  retract = (id: Id, retraction: { reason: "undo" | "amend"; by: Id | null; replacedBy?: Id | null }) =>
    journal.retractEntry(this.#link, {
      ...retraction,
      householdId: this.householdId,
      entryId: id,
      at: this.#now(),
    });

  rules = () => journal.standingRules(this.#link, this.householdId);
  addRule = async (rule: Omit<HouseholdRule, "id">): Promise<HouseholdRule> => {
    const added = { ...rule, id: this.#time.newId() };
    await journal.addRule(this.#link, { ...added, householdId: this.householdId });
    return added;
  };
  liftRule = (id: Id) => journal.liftRule(this.#link, this.householdId, id, this.#now());

  addReminder = (reminder: NewReminder) =>
    nudges.addReminder(this.#link, {
      ...reminder,
      householdId: this.householdId,
      id: this.#time.newId(),
      createdAt: this.#now(),
    });
  reminders = (filter: ReminderFilter = {}) => nudges.remindersWhere(this.#link, this.householdId, filter);
  updateReminder = (id: Id, patch: Partial<Pick<Reminder, "state" | "dueAt" | "payload" | "chatId">>) =>
    nudges.changeReminder(this.#link, this.householdId, id, patch, this.#now());

  say = async (message: Outgoing): Promise<Id> => {
    const id = this.#time.newId();
    await putMessage(this.#link, this.householdId, id, message, this.#time.pulse.now());
    const urgency = message.urgency ?? DEFAULT_URGENCY;
    this.marks.set(message.chatId, Math.min(urgency, this.marks.get(message.chatId) ?? urgency));
    return id;
  };
  saidIn = (chatId: number, messageId: number) => saidIn(this.#link, this.householdId, chatId, messageId);

  #now() {
    return this.#time.clock.now();
  }
}
