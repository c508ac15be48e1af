import type { Act } from "../interpretation.js";
import { type Item, is, sense, value } from "../item.js";
import type { VerbForm } from "../sense.js";

export type HeadKind =
  | "verb"
  | "light"
  | "state"
  | "seen"
  | "pest"
  | "noun"
  | "equipment"
  | "up"
  | "reading"
  | "base";

/** The word that says what was done or seen in a clause. */
export interface Head {
  act: Act;
  kind: HeadKind;
  form: VerbForm | "none";
  /** Index of the item in its segment. */
  at: number;
  slots?: Readonly<Record<string, string>>;
  /** Index of the noun that completes a light verb ("gave ... a drink"). */
  complement?: number;
}

const some = (items: readonly Item[], cls: string, from = 0, to = items.length): number => {
  for (let i = from; i < to; i++) if (is(items[i], cls) && !items[i]?.quoted) return i;
  return -1;
};
const has = (items: readonly Item[], cls: string): boolean => some(items, cls) >= 0;
const hasPot = (items: readonly Item[]): boolean =>
  has(items, "pot") || has(items, "material") || items.some((item) => item.measure?.dimension === "length");

/** Every head of a segment, best first choice only: the one head that the segment is about. */
export function headOf(items: readonly Item[]): Head | undefined {
  return (
    equipmentHead(items) ??
    pollenHead(items) ??
    verbHead(items) ??
    lightHead(items) ??
    separableHead(items) ??
    stateHead(items) ??
    seenHead(items) ??
    upHead(items) ??
    potHead(items) ??
    remedyHead(items) ??
    pouredHead(items) ??
    nounHead(items) ??
    arrivalHead(items) ??
    baseHead(items)
  );
}

const ON_ACT: Record<string, readonly [on: Act, off: Act]> = {
  heat: ["heat_on", "heat_off"],
  fan: ["fan_on", "fan_off"],
  dehumidify: ["dehumidify_on", "dehumidify_off"],
  vent: ["vent_open", "vent_close"],
  insulation: ["insulate", "uninsulate"],
  shading: ["shade", "unshade"],
  power: ["power_back", "power_cut"],
};

/** "heater on", "put the dehumidifier on", "shut the vents", "lined it with bubble wrap", "power died". */
function equipmentHead(items: readonly Item[]): Head | undefined {
  const cut = items.findIndex((item) =>
    item.senses.some((one) => one.cls === "actnoun" && one.value === "power_cut"),
  );
  if (cut >= 0) return { act: "power_cut", kind: "equipment", form: "noun", at: cut };
  for (let i = 0; i < items.length; i++) {
    const kind = value(items[i], "equipment");
    if (!kind || items[i]?.quoted) continue;
    const tool = kind === "insulation" || kind === "shading";
    const lead = is(items[i - 1], "det") ? items[i - 2] : items[i - 1];
    if (!tool && value(lead, "prep") === "with") continue;
    const light = nearestLight(items, i);
    if (kind === "thermostat") {
      if (items.some((item) => value(item, "reach") === "current" && !is(item, "be") && !is(item, "prep")))
        continue;
      const number = items.some((item) => item.measure && item.measure.dimension !== "length");
      if (!number || commanded(items, i)) continue;
      return { act: "setpoint", kind: "equipment", form: "past", at: light >= 0 ? light : i };
    }
    const polarity = polarityOf(items, i, kind, light);
    if (!polarity) continue;
    if (commanded(items, i))
      return { act: (ON_ACT[kind] ?? ["heat_on"])[0] as Act, kind: "base", form: "base", at: 0 };
    if ((kind === "heat" || kind === "fan") && polarity.state === "up") {
      if (
        items.some((item) => item.measure && item.measure.unit === undefined) ||
        items.some((item) => item.measure?.dimension === "temperature")
      ) {
        return { act: "setpoint", kind: "equipment", form: "past", at: light >= 0 ? light : i };
      }
      continue;
    }
    const acts = ON_ACT[kind];
    if (!acts) continue;
    return {
      act: polarity.state === "on" ? acts[0] : acts[1],
      kind: "equipment",
      form: "past",
      at: polarity.at,
      complement: i,
    };
  }
  return openedPlace(items);
}

/** "opened LH at noon": a house itself is opened or shut. */
function openedPlace(items: readonly Item[]): Head | undefined {
  const at = items.findIndex(
    (item) => is(item, "openclose") && /^(opened|shut|closed)$/.test(item.token.key),
  );
  const next = is(items[at + 1], "det") ? items[at + 2] : items[at + 1];
  if (at < 0 || !is(next, "place")) return undefined;
  return {
    act: value(items[at], "openclose") === "on" ? "vent_open" : "vent_close",
    kind: "equipment",
    form: "past",
    at,
  };
}

/** "open the vents!", "turn the heater off": asked for, not done. */
function commanded(items: readonly Item[], equipment: number): boolean {
  const at = items.findIndex((item) => is(item, "imperative") || is(item, "openclose"));
  if (at < 0 || at > equipment) return false;
  const key = items[at]?.token.key ?? "";
  const finite = ["put", "set", "shut", "let"].includes(key) || key.endsWith("ed");
  if (finite || !is(items[at], "imperative")) return false;
  return !items.slice(0, at).some((item) => is(item, "self") || is(item, "be") || is(item, "light"));
}

function nearestLight(items: readonly Item[], from: number): number {
  for (let i = from - 1; i >= 0; i--) if (is(items[i], "light") || is(items[i], "openclose")) return i;
  return some(items, "light", from + 1);
}

function polarityOf(
  items: readonly Item[],
  at: number,
  kind: string,
  light: number,
): { state: "on" | "off" | "up"; at: number } | undefined {
  const verb = light >= 0 ? items[light] : undefined;
  const verbValue = value(verb, "light");
  if (kind === "power") return powerState(items, at);
  if (kind === "vent") {
    const open = some(items, "openclose");
    if (open < 0 || (items[open]?.token.key === "cracked" && open > at)) return undefined;
    return { state: value(items[open], "openclose") as "on" | "off", at: open };
  }
  if (kind === "insulation" || kind === "shading") {
    if (verbValue === "remove" || has(items, "removal")) return { state: "off", at: light >= 0 ? light : at };
    if (verbValue === "take") return { state: "off", at: light };
    const up = items.findIndex((item) =>
      ["up", "on", "over", "back", "round", "around"].includes(item.token.key),
    );
    const off = items.findIndex((item) => ["off", "down", "away"].includes(item.token.key));
    if (off >= 0) return { state: "off", at: light >= 0 ? light : off };
    if (verbValue === "put" || verbValue === "line" || verbValue === "apply" || verb?.token.key === "put")
      return { state: "on", at: light };
    if (up >= 0 && up > at) return { state: "on", at: light >= 0 ? light : up };
    return undefined;
  }
  const polarity = some(items, "polarity");
  if (verbValue === "start" && polarity < 0) return { state: "on", at: light };
  if (verbValue === "set" && polarity < 0 && kind === "heat") return { state: "up", at: light };
  if (verbValue === "turn" || verbValue === "set" || verbValue === "put") {
    if (items.some((item) => ["up", "down"].includes(item.token.key)) && polarity < 0)
      return { state: "up", at: light };
  }
  if (polarity >= 0)
    return {
      state: value(items[polarity], "polarity") as "on" | "off",
      at: light >= 0 && verbValue !== "have" ? light : polarity,
    };
  const state = some(items, "broken");
  if (state >= 0 && kind === "heat") return { state: "off", at: state };
  return undefined;
}

function powerState(items: readonly Item[], at: number): { state: "on" | "off"; at: number } | undefined {
  for (let i = at + 1; i < items.length; i++) {
    if (is(items[i], "powerback")) return { state: "on", at: i };
    if (is(items[i], "powerlost")) return { state: "off", at: i };
    if (is(items[i], "polarity")) return { state: value(items[i], "polarity") as "on" | "off", at: i };
  }
  for (let i = 0; i < at; i++) {
    if (is(items[i], "powerback")) return { state: "on", at: i };
    if (is(items[i], "powerlost") && value(items[i], "light") === undefined) return { state: "off", at: i };
  }
  return undefined;
}

/** A clause that only says what became of the equipment spoken of before: "came back at 5am", "shut again at 4". */
export function followUpHead(items: readonly Item[], before: Head | undefined): Head | undefined {
  if (before?.kind !== "equipment") return undefined;
  const pair = Object.values(ON_ACT).find((acts) => acts.includes(before.act));
  if (!pair) return undefined;
  for (let i = 0; i < items.length; i++) {
    const item = items[i];
    const power = before.act === "power_cut" || before.act === "power_back";
    const state =
      power && is(item, "powerback")
        ? "on"
        : power && is(item, "powerlost")
          ? "off"
          : (value(item, "polarity") ??
            (before.act.startsWith("vent") ? value(item, "openclose") : undefined));
    if (!state) continue;
    return { act: state === "on" ? pair[0] : pair[1], kind: "equipment", form: "past", at: i };
  }
  return undefined;
}

/** "put pollen of the lithops on the conophytum". */
function pollenHead(items: readonly Item[]): Head | undefined {
  const pollen = some(items, "pollenword");
  if (pollen < 0 || items.filter((item) => item.subject).length < 2) return undefined;
  const verb = items.findIndex(
    (item) => is(item, "light") || item.senses.some((one) => one.cls === "act" && one.form === "past"),
  );
  return { act: "pollinate", kind: "verb", form: "past", at: verb >= 0 ? verb : pollen };
}

/** A lexical verb in a past form: "watered", "has been fed", "potted on". */
function verbHead(items: readonly Item[]): Head | undefined {
  let weaker: Head | undefined;
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.quoted) continue;
    for (const one of item.senses) {
      if (one.cls !== "act" || one.form !== "past") continue;
      if (one.slots?.needs === "seed" && !has(items, "seednoun") && !has(items, "seedpod")) continue;
      if (attributive(items, i)) continue;
      if (
        item.token.key === "dead" &&
        item.end - item.start === 1 &&
        i + 1 < items.length &&
        !items[i - 1]?.subject &&
        !is(items[i - 1], "be")
      )
        continue;
      const head = refine(
        { act: one.value as Act, kind: "verb", form: "past", at: i, ...(one.slots && { slots: one.slots }) },
        items,
      );
      if (one.value === "clean" || one.value === "move" || one.value === "turn") weaker ??= head;
      else return head;
    }
  }
  return weaker;
}

/** "the grafted ones", "a treated bench": a participle that only describes. */
function attributive(items: readonly Item[], at: number): boolean {
  const before = items[at - 1];
  return (
    is(before, "det") &&
    before?.token.key !== "all" &&
    items.length > at + 1 &&
    !is(before, "pron") &&
    !is(before, "self")
  );
}

/** "pricked the rebutias out", "cut the echeverias back": a verb whose particle stands apart. */
function separableHead(items: readonly Item[]): Head | undefined {
  for (let i = 0; i < items.length; i++) {
    if (items[i]?.quoted) continue;
    for (const one of items[i]?.senses ?? []) {
      if (one.cls !== "sep") continue;
      const [act, particles = ""] = one.value.split(":");
      const wanted = particles.split(",");
      const at = items.findIndex((item, k) => k > i && wanted.includes(item.token.key));
      if (at > i && items.some((item) => item.subject || is(item, "pron")))
        return { act: act as Act, kind: "light", form: "past", at: i, complement: at };
    }
  }
  return undefined;
}

/** "adeniums into 4 inch plastic pots": the verb is left out. */
function potHead(items: readonly Item[]): Head | undefined {
  const name = items.findIndex((item) => item.subject);
  if (name < 0) return undefined;
  const into = items.findIndex((item, i) => i > name && ["into", "to"].includes(value(item, "prep") ?? ""));
  return into >= 0 && hasPot(items.slice(into))
    ? { act: "repot", kind: "noun", form: "noun", at: into }
    : undefined;
}

/** A remedy, and neither a feed nor rainwater. */
const isRemedy = (item: Item): boolean =>
  is(item, "product") && !is(item, "feedstuff") && !/water/.test(item.token.key);

/** A verb's sense may be narrowed by what it takes: moved into a pot is repotted, wiped with alcohol is treated. */
function refine(head: Head, items: readonly Item[]): Head {
  const behind = items.slice(head.at);
  const placed = items.some((item) => is(item, "place") || is(item, "placeword"));
  switch (head.act) {
    case "move": {
      if (!placed && hasPot(behind)) return { ...head, act: "repot" };
      const given = behind.some(
        (item, i) =>
          value(item, "prep") === "from" && (is(behind[i + 1], "kin") || is(behind[i + 1], "member")),
      );
      return given && !items.some((item) => is(item, "place")) ? { ...head, act: "acquire" } : head;
    }
    case "acquire": {
      const passive =
        items[head.at]?.token.key !== "received" && items.slice(0, head.at).some((item) => item.subject);
      const given = passive ? lightVerb("give", items, head.at) : undefined;
      return given && given.act !== "give_away" ? given : head;
    }
    case "give_away":
      return items[head.at]?.token.key === "swapped" && hasPot(behind) ? { ...head, act: "repot" } : head;
    case "lose":
      return behind.some((item) => value(item, "nounleaf") === "leaf") ? { ...head, act: "leaf_drop" } : head;
    case "water":
      return head.slots?.dose === "soak" && items.some(isRemedy)
        ? { act: "treat", kind: head.kind, form: head.form, at: head.at }
        : head;
    case "clean":
      return items.some(isRemedy) || items.some((item) => is(item, "pest"))
        ? { ...head, act: "treat" }
        : head;
    default:
      return head;
  }
}

const COMPLEMENTS = ["actnoun", "dose", "seen", "pest", "product"] as const;

/** "gave ... a drink", "had a sip", "took 3 cuttings", "put ... in the long house", "got 3 from Bert". */
function lightHead(items: readonly Item[]): Head | undefined {
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    const verb = value(item, "light");
    if (!verb || item.quoted) continue;
    const head = lightVerb(verb, items, i);
    if (head) return head;
  }
  return undefined;
}

function lightVerb(verb: string, items: readonly Item[], at: number): Head | undefined {
  const base: Omit<Head, "act"> = { kind: "light", form: "past", at };
  const find = (cls: string): number => some(items, cls, at + 1);
  const counted =
    verb === "give" &&
    items.slice(at + 1, at + 3).some((item) => item.measure && !item.measure.unit && !item.measure.article);
  const names = counted || items.some((item) => item.subject || is(item, "pron"));
  const placed = items.slice(at).some((item) => is(item, "place") || is(item, "placeword"));
  switch (verb) {
    case "give":
    case "have":
    case "get":
    case "do":
    case "take":
    case "make":
    case "put":
    case "see":
    case "throw": {
      const noun = complementOf(items, at, verb);
      if (noun) return { ...base, act: noun.act, complement: noun.at };
      break;
    }
    default:
  }
  switch (verb) {
    case "give":
      if ((names || placed) && poured(items, at)) return { ...base, act: "water" };
      if (names && at > 0 && ["me", "us"].includes(items[at + 1]?.token.key ?? ""))
        return { ...base, act: "acquire" };
      if (
        names &&
        (has(items, "recipient") ||
          some(items, "member", at) >= 0 ||
          some(items, "kin", at) >= 0 ||
          toSomeone(items, at))
      )
        return { ...base, act: "give_away" };
      return undefined;
    case "get":
      if (names && poured(items, at)) return { ...base, act: "water" };
      if (
        names &&
        (items.slice(at).some((item) => item.measure) ||
          items.some((item) => value(item, "prep") === "from") ||
          has(items, "newness"))
      ) {
        return { ...base, act: "acquire" };
      }
      return placed &&
        names &&
        items.slice(at).some((item) => ["in", "out", "inside"].includes(item.token.key))
        ? { ...base, act: "move" }
        : undefined;
    case "take":
    case "put":
      if (!names) return undefined;
      if (hasPot(items.slice(at)) && verb === "put") return { ...base, act: "repot" };
      if (find("nounleaf") >= 0 && verb === "take")
        return { ...base, act: leafAct(items[find("nounleaf")] as Item) };
      if (find("seednoun") >= 0 && verb === "take") return { ...base, act: "harvest_seed" };
      return placed || goesSomewhere(items, at) ? { ...base, act: "move" } : undefined;
    case "go":
    case "come":
      return wentTo(verb, items, at, base);
    case "start":
      return find("seednoun") >= 0 ? { ...base, act: "sow" } : undefined;
    case "cut":
      return find("nounleaf") >= 0 && names
        ? { ...base, act: leafAct(items[find("nounleaf")] as Item) }
        : undefined;
    case "cross":
      return names ? { ...base, act: "pollinate" } : undefined;
    case "remove": {
      const noun = some(items, "seen", at);
      if (noun >= 0 && value(items[noun], "seen") === "offset")
        return { ...base, act: "divide", complement: noun };
      return find("nounleaf") >= 0 ? { ...base, act: leafAct(items[find("nounleaf")] as Item) } : undefined;
    }
    case "apply":
      return find("substrate") >= 0 && names
        ? { ...base, act: "top_dress" }
        : find("product") >= 0 || items.slice(0, at).some((item) => is(item, "product"))
          ? { ...base, act: "treat" }
          : undefined;
    default:
      return undefined;
  }
}

/** "put the aloes outside": a direction that no noun follows ("put a hole in the saguaro"). */
const goesSomewhere = (items: readonly Item[], at: number): boolean =>
  items.some(
    (item, i) => i > at && is(item, "direction") && !is(items[i + 1], "det") && !items[i + 1]?.subject,
  );

const leafAct = (item: Item): Act => (value(item, "nounleaf") === "bloom" ? "deadhead" : "clean");

const poured = (items: readonly Item[], at: number): boolean =>
  items.slice(at).some((item) => item.measure?.dimension === "volume" || item.measure?.unit === "[oz_av]");

function toSomeone(items: readonly Item[], at: number): boolean {
  const to = items.findIndex((item, i) => i > at && value(item, "prep") === "to");
  return to >= 0 && to + 1 < items.length && !items[to + 1]?.subject && !is(items[to + 1], "place");
}

function complementOf(
  items: readonly Item[],
  at: number,
  verb: string,
): { act: Act; at: number } | undefined {
  for (let i = at + 1; i < items.length; i++) {
    const item = items[i] as Item;
    for (const cls of COMPLEMENTS) {
      const found = value(item, cls);
      if (!found) continue;
      if (cls === "dose") {
        if (verb === "give" || verb === "have" || verb === "get") return { act: doseAct(items, i), at: i };
        continue;
      }
      if (cls === "product") {
        if (verb === "give" || verb === "have" || verb === "get")
          return { act: is(item, "feedstuff") ? "feed" : "treat", at: i };
        continue;
      }
      if (cls === "pest") {
        if (verb === "see" || verb === "have" || verb === "get" || verb === "throw")
          return { act: "pest", at: i };
        continue;
      }
      if (cls === "seen" && (verb === "give" || verb === "put" || verb === "do")) continue;
      if (cls === "seen" && verb === "take") {
        if (found === "offset") return { act: "divide", at: i };
        continue;
      }
      if (cls === "actnoun" && (verb === "see" || verb === "throw")) continue;
      if (cls === "actnoun" && verb === "give" && found === "take_cutting") continue;
      return { act: found as Act, at: i };
    }
  }
  return undefined;
}

/** A dose may be of feed: "a light feed". */
function doseAct(items: readonly Item[], at: number): Act {
  for (let i = at; i < items.length; i++) {
    const noun = value(items[i], "actnoun");
    if (noun === "feed" || noun === "mist") return noun;
  }
  return "water";
}

function wentTo(verb: string, items: readonly Item[], at: number, base: Omit<Head, "act">): Head | undefined {
  const names = items.some((item) => item.subject || is(item, "pron"));
  if (!names) return undefined;
  const rest = items.slice(at + 1);
  if (verb === "go" && hasPot(rest) && !rest.some((item) => is(item, "place")))
    return { ...base, act: "repot" };
  if (rest.some((item) => is(item, "place") || is(item, "placeword") || is(item, "direction")))
    return { ...base, act: "move" };
  if (verb === "go" && rest.some((item) => is(item, "member") || is(item, "kin")))
    return { ...base, act: "give_away" };
  if (verb === "come" && rest.some((item) => value(item, "prep") === "from" || is(item, "delivery")))
    return { ...base, act: "acquire" };
  return undefined;
}

const FALLING = new Set([
  "off",
  "gone",
  "falling",
  "fallin",
  "dropping",
  "droppin",
  "dropped",
  "fell",
  "shed",
]);

/** "in flower", "rotting", "gone soft", "its leaves are falling off". */
function stateHead(items: readonly Item[]): Head | undefined {
  const leaf = items.findIndex((item) => value(item, "nounleaf") === "leaf");
  const falling = leaf < 0 ? -1 : items.findIndex((item) => FALLING.has(item.token.key));
  if (falling >= 0) return { act: "leaf_drop", kind: "state", form: "state", at: falling };
  for (let i = 0; i < items.length; i++) {
    const found = items[i]?.senses.find((one) => one.cls === "act" && one.form === "state");
    if (
      found &&
      !items[i]?.quoted &&
      !(attributive(items, i) && i + 1 < items.length && items[i + 1]?.subject)
    ) {
      return { act: found.value as Act, kind: "state", form: "state", at: i };
    }
  }
  return undefined;
}

/** "pups all round S-007", "mealies on two of the echeverias", "first flower on the rebutia". */
function seenHead(items: readonly Item[]): Head | undefined {
  if (!items.some((item) => item.subject)) {
    const pest = some(items, "pest");
    const bare = items.every(
      (item) =>
        is(item, "pest") ||
        is(item, "seen") ||
        is(item, "det") ||
        is(item, "filler") ||
        is(item, "newness") ||
        item.measure !== undefined,
    );
    if (bare && pest >= 0) return { act: "pest", kind: "pest", form: "noun", at: pest };
    const seen = bare ? some(items, "seen") : -1;
    if (seen >= 0) return { act: value(items[seen], "seen") as Act, kind: "seen", form: "noun", at: seen };
    return pest >= 0 && (has(items, "prep") || has(items, "pron"))
      ? { act: "pest", kind: "pest", form: "noun", at: pest }
      : undefined;
  }
  for (let i = 0; i < items.length; i++) {
    if (items[i]?.quoted || items[i]?.subject) continue;
    if (is(items[i], "pest")) return { act: "pest", kind: "pest", form: "noun", at: i };
    const seen = value(items[i], "seen");
    if (seen) return { act: seen as Act, kind: "seen", form: "noun", at: i };
  }
  return undefined;
}

/** "12 of 40 up", "the lithops seedlings are up". */
function upHead(items: readonly Item[]): Head | undefined {
  for (let i = items.length - 1; i > 0; i--) {
    const item = items[i] as Item;
    if (!is(item, "uppredicate")) continue;
    const counted = items.slice(0, i).some((one) => one.measure && !one.measure.unit);
    const seeds = items.slice(0, i).some((one) => is(one, "seednoun") || is(one, "seedling"));
    const named = items.slice(0, i).some((one) => one.subject);
    const alone =
      items[i - 1]?.measure !== undefined && !items[i - 1]?.measure?.unit && items.length <= 5 && i <= 2;
    if (alone) return { act: "germinate", kind: "up", form: "state", at: i };
    const ofWhich =
      counted &&
      (/^(are|is|were|now)$/.test(items[i - 1]?.token.key ?? "") ||
        items.slice(0, i).some((one) => one.token.key === "which"));
    if (ofWhich) return { act: "germinate", kind: "up", form: "state", at: i };
    if (
      (named && (counted || seeds || is(items[i - 1], "be"))) ||
      (counted && items.some((one) => one.measure?.outOf))
    ) {
      return { act: "germinate", kind: "up", form: "state", at: i };
    }
  }
  return undefined;
}

/** "water the aloes", "water is coming in": the word is a verb, or names the stuff. */
function asVerb(items: readonly Item[], at: number): boolean {
  if (!items[at]?.senses.some((one) => one.cls === "act" && one.form === "base")) return false;
  const next = items[at + 1];
  return (
    next !== undefined &&
    (next.subject !== undefined || is(next, "det") || is(next, "pron") || is(next, "be"))
  );
}

/** "aloes 200 ml each": plants and a volume say that they were watered. */
function pouredHead(items: readonly Item[]): Head | undefined {
  const at = items.findIndex((item) => item.measure?.dimension === "volume");
  const name = items.findIndex((item) => item.subject);
  const place = items.findIndex((item) => is(item, "place"));
  const goal = name >= 0 ? name : place;
  const toward =
    goal > at &&
    items
      .slice(at, goal)
      .some(
        (item) =>
          ["for", "on"].includes(value(item, "prep") ?? "") ||
          item.token.key === "between" ||
          item.token.key === "to",
      );
  if (at < 0 || goal < 0 || (goal > at && !toward)) return undefined;
  const plain = items.every(
    (item) =>
      item.subject ||
      item.measure ||
      item.time ||
      is(item, "det") ||
      is(item, "filler") ||
      is(item, "place") ||
      is(item, "prep") ||
      is(item, "tentative") ||
      is(item, "actnoun") ||
      item.token.key === "between" ||
      is(item, "and"),
  );
  return plain ? { act: "water", kind: "noun", form: "noun", at: -1 } : undefined;
}

/** "neem on everything in the sunroom": a remedy and what it is on. */
function remedyHead(items: readonly Item[]): Head | undefined {
  const at = items.findIndex((item) => is(item, "product") && !is(item, "feedstuff") && !item.subject);
  if (at < 0 || at > 2) return undefined;
  const on = items.findIndex((item, i) => i > at && ["on", "for"].includes(value(item, "prep") ?? ""));
  return on > at && items.slice(on).some((item) => item.subject)
    ? { act: "treat", kind: "noun", form: "noun", at }
    : undefined;
}

/** Telegraphic: "aloes - water", "watering done in the long house", "gasterias: sip". */
function nounHead(items: readonly Item[]): Head | undefined {
  for (let i = 0; i < items.length; i++) {
    const item = items[i] as Item;
    if (item.quoted) continue;
    const noun = asVerb(items, i) ? undefined : value(item, "actnoun");
    if (noun) return { act: noun as Act, kind: "noun", form: "noun", at: i };
    const gerund = item.senses.find((one) => one.cls === "act" && one.form === "gerund");
    if (gerund) return { act: gerund.value as Act, kind: "noun", form: "gerund", at: i };
    if (is(item, "feedstuff") && items.some((one) => one.subject))
      return { act: "feed", kind: "noun", form: "noun", at: i };
    if (
      is(item, "dose") &&
      !is(item, "doseadverb") &&
      (items.some((one) => one.subject) ||
        items.every((one) => is(one, "dose") || is(one, "det") || is(one, "filler")))
    ) {
      return { act: "water", kind: "noun", form: "noun", at: i };
    }
  }
  return undefined;
}

/** "3 new astrophytums", "2 aloes from Bert": plants that came, with no verb. */
function arrivalHead(items: readonly Item[]): Head | undefined {
  const name = items.findIndex((item) => item.subject?.genus);
  if (name < 0) return undefined;
  const counted = items.slice(0, name).some((item) => item.measure && !item.measure.unit && !item.time);
  const fresh = items.slice(0, name).some((item) => is(item, "newness"));
  const from = items.findIndex((item, i) => i > name && value(item, "prep") === "from");
  const who = items[from + 1];
  const giver =
    from >= 0 &&
    (is(who, "member") || is(who, "kin") || (who?.token.capital === true && who.senses.length === 0));
  return (counted && fresh) || ((counted || fresh) && giver)
    ? { act: "acquire", kind: "noun", form: "noun", at: -1 }
    : undefined;
}

function baseHead(items: readonly Item[]): Head | undefined {
  for (let i = 0; i < items.length; i++) {
    const found = items[i]?.senses.find(
      (one) => one.cls === "act" && (one.form === "base" || one.form === "third"),
    );
    if (found && !items[i]?.quoted) {
      return {
        act: found.value as Act,
        kind: "base",
        form: found.form as VerbForm,
        at: i,
        ...(found.slots && { slots: found.slots }),
      };
    }
  }
  return undefined;
}

export { sense };
