/**
 * What a message means: the vocabulary that language, journal, answers, nudges and tests share.
 * Only the keys that apply are present; units are UCUM codes and numbers stand as they were written.
 */

/** Acts of care, on plants. */
export const CARE_ACTS = [
  "water",
  "mist",
  "feed",
  "repot",
  "top_dress",
  "prune",
  "deadhead",
  "treat",
  "clean",
  "move",
  "turn",
  "shade",
  "unshade",
  "graft",
  "take_cutting",
  "divide",
  "sow",
  "prick_out",
  "pollinate",
  "harvest_seed",
  "label",
  "skip",
] as const;
/** Acts by which plants come and go. */
export const COLLECTION_ACTS = ["acquire", "give_away", "order", "lose"] as const;
/** What was seen on plants. */
export const SEEN_ACTS = [
  "bud",
  "flower",
  "fruit",
  "germinate",
  "growth",
  "offset",
  "leaf_drop",
  "dormant",
  "shrivel",
  "etiolate",
  "scorch",
  "frost_damage",
  "pest",
  "rot",
] as const;
/** What happens to a place. */
export const PLACE_ACTS = [
  "reading",
  "heat_on",
  "heat_off",
  "setpoint",
  "insulate",
  "uninsulate",
  "vent_open",
  "vent_close",
  "fan_on",
  "fan_off",
  "dehumidify_on",
  "dehumidify_off",
  "power_cut",
  "power_back",
] as const;
export const ACTS = [...CARE_ACTS, ...COLLECTION_ACTS, ...SEEN_ACTS, ...PLACE_ACTS, "note"] as const;
export type Act = (typeof ACTS)[number];

export const GROUPS = [
  "cacti",
  "succulents",
  "other succulents",
  "caudiciforms",
  "orchids",
  "mesembs",
  "stapeliads",
  "epiphytes",
  "winter growers",
  "summer growers",
  "seedlings",
  "cuttings",
] as const;
export type Group = (typeof GROUPS)[number];

/** Plants that an entry or a question speaks of: a taxon, a tagged plant, a group, or everything. */
export interface Subject {
  /** Accepted genus name. */
  genus?: string;
  species?: string;
  cultivar?: string;
  /** Collector's field number as written, e.g. "KK 1234". */
  fieldNumber?: string;
  /** Tag of a plant known to the household; then genus and species are left to the journal. */
  tag?: string;
  /** A plant's name in this household, where it has no tag. */
  name?: string;
  /** The name as written where it differs from the accepted one. */
  as?: string;
  /** Number of whole plants. */
  count?: number;
  group?: Group;
  all?: true;
}

export const GRAINS = ["moment", "hour", "part", "night", "day", "week", "month"] as const;
export type Grain = (typeof GRAINS)[number];

/** Half-open range of local wall-clock time, "YYYY-MM-DDTHH:MM". */
export interface When {
  from: string;
  to: string;
  grain: Grain;
}

/** A number as written with its UCUM unit ("1" for a bare number). */
export interface Quantity {
  value: number;
  unit: string;
}
export type Dose = "sip" | "light" | "normal" | "soak";
export type Amount = Quantity | { dose: Dose };

export type ReadingQuantity =
  | "air_temperature"
  | "soil_temperature"
  | "outdoor_temperature"
  | "relative_humidity"
  | "illuminance"
  | "energy";
export type Statistic = "min" | "max" | "current" | "mean";
export interface Reading {
  quantity: ReadingQuantity;
  statistic: Statistic;
  value: number;
  unit: string;
}

export interface Pot {
  diameter?: Quantity;
  /** Lower case: terracotta, plastic, glazed, net, ... */
  material?: string;
  previous?: Pot;
}

/** 2 ml/l: value and unit; 1:200: ratio 200; half strength: strength 0.5. */
export type Dilution = Quantity | { ratio: number } | { strength: number };

export interface Entry {
  act: Act;
  subjects?: Subject[];
  except?: Subject[];
  place?: string;
  when?: When;
  amount?: Amount;
  reading?: Reading;
  count?: number;
  outOf?: number;
  pot?: Pot;
  substrate?: string;
  product?: string;
  pest?: string;
  cause?: string;
  dilution?: Dilution;
  origin?: string;
  recipient?: string;
  from?: string;
  to?: string;
  person?: string;
  stock?: Subject;
  pollen?: Subject;
  text?: string;
  value?: Quantity;
  tentative?: true;
}

export type CareTopic =
  | "water"
  | "temperature"
  | "light"
  | "feed"
  | "repot"
  | "sow"
  | "rest"
  | "hazard"
  | "any";
export type SeasonName = "spring" | "summer" | "autumn" | "winter";
export type Calculation =
  | "dew_point"
  | "vapour_pressure_deficit"
  | "relative_humidity"
  | "heat_hold"
  | "running_cost"
  | "substrate_volume"
  | "dilution"
  | "day_length"
  | "germination"
  | "convert";

export type Question =
  | {
      about: "care";
      topic: CareTopic;
      subjects?: Subject[];
      place?: string;
      season?: SeasonName;
      month?: number;
    }
  | { about: "last"; act?: Act; subjects?: Subject[]; place?: string }
  | { about: "due"; act?: Act; subjects?: Subject[]; place?: string; when?: When }
  | { about: "reading"; quantity?: ReadingQuantity; statistic?: Statistic; place?: string; when?: When }
  | {
      about: "inventory";
      subjects?: Subject[];
      place?: string;
      state?: Act | "any";
      count?: true;
    }
  | { about: "history"; subjects?: Subject[]; place?: string; when?: When }
  | {
      about: "calculate";
      calculation: Calculation;
      inputs: Record<string, Quantity | string | number>;
      place?: string;
    }
  | { about: "name"; text: string }
  | { about: "why" };

export type Setting =
  | "floor"
  | "location"
  | "units"
  | "reminder_time"
  | "quiet_hours"
  | "zone"
  | "language"
  /** Extensions: weekdays of the morning message, kinds of reminders on or off, danger in quiet hours, season rows. */
  | "reminder_days"
  | "reminders"
  | "danger_at_night"
  | "task_month";

/** What a question of care asks about in particular. */
export interface CareDetail {
  /** "is it normal that my euphorbia drops its leaves": what was seen. */
  sign?: Act;
  /** "can melocactus take 6 °C", "what must not go below 10": the value asked about. */
  value?: Quantity;
}

/** The group's own care rule, said in words ("we water the aloes every 10 days in summer"). */
export interface OwnRule {
  subjects: Subject[];
  season?: SeasonName;
  /** Days between waterings. */
  everyDays?: { from: number; to: number };
  /** "never water the lithops". */
  never?: Act;
  /** "our adeniums stay above 14". */
  least?: Quantity;
}

export type Instruction =
  | { do: "undo" }
  | { do: "amend"; change: Partial<Entry> & { addSubjects?: Subject[]; removeSubjects?: Subject[] } }
  | { do: "remind"; text?: string; when?: When; person?: string }
  | { do: "snooze"; when?: When; subjects?: Subject[]; act?: Act }
  | { do: "claim"; person?: string }
  | { do: "set"; setting: Setting; place?: string; value?: unknown; person?: string }
  | { do: "add_place"; place: string; value?: Quantity }
  | { do: "remove_place"; place: string }
  | { do: "away"; when?: When; person?: string }
  | { do: "chart"; quantity?: ReadingQuantity; place?: string; when?: When }
  | { do: "export"; format?: string }
  | { do: "import" }
  | { do: "help" }
  | { do: "forget"; subjects?: Subject[]; text?: string }
  /** Extensions: keep the group's own care rule; the danger is over; a plant gets its label or name. */
  | { do: "rule"; rule: OwnRule }
  | { do: "all_well"; place?: string }
  /** What a label or a name means here: its taxon, the name it goes by, where it stands. */
  | { do: "add_plant"; plant: Subject; place?: string };

export type Missing = "subject" | "value" | "unit" | "place" | "time" | "act";

export interface Interpretation {
  kind: "log" | "ask" | "instruct" | "unclear" | "none";
  entries?: Entry[];
  question?: Question;
  /** Of a question of care: the sign or the value it asks about. */
  detail?: CareDetail;
  instruction?: Instruction;
  /** Further instructions of one message ("we have a long house kept above 5 and a warm bench at 12"). */
  further?: Instruction[];
  missing?: Missing[];
  /** What was taken from an unclear message, so that a follow-up can complete it. */
  partial?: Partial<Entry>;
  /** The heating did not go off by a hand: "the heater failed". */
  failure?: true;
  /** Of `forget`: the journal itself is meant, not a rule of the group's own. */
  erase?: true;
  /** Words that no rule took, kept with the entry as its note. */
  remainder?: string;
}
