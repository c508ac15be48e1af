import { Temporal } from "temporal-polyfill";
import type { Clock } from "../../bot/clock.js";
import type { InGroup } from "../../bot/horticulture/coverage.js";
import { type ConverseOptions, converse, type Mind } from "../../bot/journal/converse.js";
import type { LoggedEntry, Outcome } from "../../bot/journal/outcome.js";
import type { Household, JournalEntry, JournalStore, Plant } from "../../bot/journal/ports.js";
import { openScope, type Scope } from "../../bot/journal/scope.js";
import type { Entry, Instruction, Interpretation, Question } from "../../bot/language/interpretation.js";
import { type Said, wordOutcome } from "../../bot/messenger/replies/en/outcomes.js";
import type { Store } from "../../db/store.js";
import { settle } from "../db/examples.js";

/** A Friday, 09:00 in Warsaw. */
export const FRIDAY = Temporal.Instant.from("2027-01-15T08:00:00Z");
export const ZONE = "Europe/Warsaw";
let instant = FRIDAY;
/** Each household begins on the same Friday. */
export const clock: Clock = { now: () => instant };

const CACTI = new Set(["Copiapoa", "Rebutia", "Mammillaria"]);
const inGroup: InGroup = (genus, _species, group) =>
  group === "cacti" ? CACTI.has(genus) : group === "succulents" && genus !== "";

export const PEOPLE = { Ines: 1, Tomasz: 2, Priya: 3 } as const;
export type Person = keyof typeof PEOPLE;

export interface Spoken {
  who?: Person;
  text?: string;
  replyTo?: { messageId: number; fromBot: boolean };
  messageId?: number;
  edited?: boolean;
  addressed?: boolean;
  mayChangeSettings?: boolean;
}

let chats = 0;
let messages = 0;

/** A household of the allotment club in a chat of its own; what its sentences mean is given, not read. */
export class Glasshouse {
  /** What the next message means, and what it would mean as an answer to a question. */
  #meaning: Interpretation = { kind: "none" };
  #reply: Interpretation | null = null;
  lastMessage = 0;
  units: Household["units"] = "metric";

  private constructor(
    readonly store: Store,
    readonly id: string,
    readonly chatId: number,
  ) {}

  static async found(
    store: Store,
    places: readonly {
      name: string;
      floorC?: number;
      aliases?: string[];
      isDefault?: boolean;
    }[] = BOTH_PLACES,
    household: Partial<Household> = {},
  ): Promise<Glasshouse> {
    instant = FRIDAY;
    chats += 1;
    const chatId = -5000 - chats;
    const house = new Glasshouse(store, await settle(store, chatId), chatId);
    house.units = household.units ?? "metric";
    await house.within(async (journal) => {
      await journal.updateHousehold({ zone: ZONE, latitude: 54.4, ...household });
      for (const { name, floorC, aliases = [], isDefault = false } of places) {
        const floor = floorC === undefined ? null : { value: floorC, unit: "Cel" };
        await journal.addPlace({
          collectionId: null,
          name,
          aliases,
          floor,
          floorC: floorC ?? null,
          kind: null,
          isDefault,
        });
      }
    });
    return house;
  }

  within<T>(work: (journal: JournalStore) => Promise<T>): Promise<T> {
    return this.store.households.within(this.id, work);
  }

  async say(meaning: Interpretation, spoken: Spoken = {}): Promise<{ outcome: Outcome; said: Said | null }> {
    this.#meaning = meaning;
    this.lastMessage = spoken.messageId ?? ++messages + 10_000;
    return this.within(async (journal) => {
      const who = spoken.who ?? "Ines";
      const scope = await openScope(
        journal,
        {
          chatId: this.chatId,
          threadId: null,
          messageId: this.lastMessage,
          text: spoken.text ?? `words ${this.lastMessage}`,
          author: { userId: PEOPLE[who], name: who },
          addressed: spoken.addressed ?? false,
          isPrivate: false,
          at: clock.now(),
          replyTo: spoken.replyTo ?? null,
        },
        "UTC",
        inGroup,
      );
      const options: ConverseOptions = {
        edited: spoken.edited ?? false,
        mayChangeSettings: spoken.mayChangeSettings ?? true,
      };
      const outcome = await converse(scope, this.mind(), options);
      return { outcome, said: this.#word(outcome, scope) };
    });
  }

  #word(outcome: Outcome, scope: Scope): Said | null {
    return wordOutcome(outcome, {
      manner: { units: this.units, zone: scope.zone, now: clock.now() },
      places: scope.places,
      plants: scope.plants,
      author: scope.author.name,
    });
  }

  /** What the next message would mean as the answer to a question just asked. */
  answering(meaning: Interpretation): this {
    this.#reply = meaning;
    return this;
  }

  mind(): Mind {
    const nothing = () => Promise.reject(new Error("not asked here"));
    return {
      interpret: () => this.#meaning,
      interpretReply: () => this.#reply ?? { kind: "none" },
      isCourtesy: (text) => text === "thanks",
      isOnTopic: () => false,
      inGroup,
      cautions: () => [],
      care: nothing,
      due: nothing,
      calculate: nothing,
    };
  }

  /** Logs entries and gives back the line that confirms them. */
  async log(entries: Entry | Entry[], spoken: Spoken = {}): Promise<string> {
    return (await this.logged(entries, spoken)).text;
  }
  async logged(entries: Entry | Entry[], spoken: Spoken = {}) {
    const { outcome, said } = await this.say({ kind: "log", entries: [entries].flat() }, spoken);
    if (outcome.kind !== "logged" && outcome.kind !== "amended") throw new Error(`it was ${outcome.kind}`);
    return { text: said?.text ?? "", said, entries: outcome.entries as LoggedEntry[], outcome };
  }

  async tell(instruction: Instruction, spoken: Spoken = {}): Promise<string> {
    return (await this.say({ kind: "instruct", instruction }, spoken)).said?.text ?? "";
  }
  amend(change: Extract<Instruction, { do: "amend" }>["change"], spoken: Spoken = {}): Promise<string> {
    return this.tell({ do: "amend", change }, spoken);
  }
  undo(spoken: Spoken = {}): Promise<string> {
    return this.tell({ do: "undo" }, spoken);
  }
  async ask(question: Question): Promise<string> {
    return (await this.say({ kind: "ask", question })).said?.text ?? "";
  }

  plants(): Promise<Plant[]> {
    return this.within((journal) => journal.plants());
  }
  /** The list of plants in short: "3 Aloe @ Long House". */
  async list(): Promise<string[]> {
    return this.within(async (journal) => {
      const places = await journal.places();
      return (await journal.plants())
        .map(({ count, tag, genus, placeId }) => {
          const place = places.find(({ id }) => id === placeId)?.name;
          return [count, tag, genus, place && `@ ${place}`]
            .filter((part) => part !== null && part !== undefined)
            .join(" ");
        })
        .sort();
    });
  }
  standing(): Promise<JournalEntry[]> {
    return this.within((journal) => journal.entries({ order: "written" }));
  }
  async addPlant(plant: Partial<Plant> & { genus: string; place?: string }): Promise<void> {
    await this.within(async (journal) => {
      const places = await journal.places();
      const { place, ...rest } = plant;
      await journal.addPlant({
        collectionId: null,
        tag: null,
        name: null,
        species: null,
        cultivar: null,
        fieldNumber: null,
        count: null,
        potDiameterCm: null,
        potMaterial: null,
        placeId: places.find(({ name }) => name === place)?.id ?? null,
        source: null,
        acquiredOn: null,
        sownOn: null,
        status: "alive",
        ...rest,
      });
    });
  }
}

export const BOTH_PLACES = [
  { name: "Long House", floorC: 5, aliases: ["LH"], isDefault: true },
  { name: "Warm Bench", floorC: 12 },
];

export const later = (duration: Temporal.DurationLike): void => {
  instant = instant.add(duration);
};
export const day = (date: string) => {
  const next = Temporal.PlainDate.from(date).add({ days: 1 });
  return { from: `${date}T00:00`, to: `${next}T00:00`, grain: "day" as const };
};
export const ALOE = { genus: "Aloe" };
export const AGAVE = { genus: "Agave" };
export const GASTERIA = { genus: "Gasteria" };
export const watered = (...subjects: NonNullable<Entry["subjects"]>): Entry => ({ act: "water", subjects });
export const minimum = (value: number, place?: string): Entry => ({
  act: "reading",
  reading: { quantity: "air_temperature", statistic: "min", value, unit: "Cel" },
  when: { from: "2027-01-14T18:00", to: "2027-01-15T08:00", grain: "night" },
  ...(place ? { place } : {}),
});
