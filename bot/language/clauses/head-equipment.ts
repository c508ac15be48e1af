import type { Act } from "../interpretation.js";
import { type Item, is, says, shaped, value } from "../item.js";
import { type Head, has, some } from "./head-word.js";

const ON_ACT: Record<string, readonly [on: Act, off: Act]> = {
  heat: ["heat_on", "heat_off"],
  fan: ["fan_on", "fan_off"],
  dehumidify: ["dehumidify_on", "dehumidify_off"],
  vent: ["vent_open", "vent_close"],
  insulation: ["insulate", "uninsulate"],
  shading: ["shade", "unshade"],
  power: ["power_back", "power_cut"],
};

/** What is off once it is broken. */
const BREAKING: ReadonlySet<string> = new Set(["heat", "fan", "dehumidify"]);

/** "heater on", "put the dehumidifier on", "shut the vents", "lined it with bubble wrap", "power died". */
export function equipmentHead(items: readonly Item[]): Head | undefined {
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
  return openedPlace(items) ?? placeSet(items);
}

/** "the frame has been set to 12 degrees": what is set is its heating. */
function placeSet(items: readonly Item[]): Head | undefined {
  const at = items.findIndex((item) => value(item, "light") === "set" && !item.quoted);
  if (at < 0) return undefined;
  const passive = is(items[at - 1], "be") && items.slice(0, at).some((item) => is(item, "place"));
  const named = is(items[at + 1], "det") ? at + 2 : at + 1;
  const to = passive ? at + 1 : is(items[named], "place") ? named + 1 : -1;
  const measure = items[to + 1]?.measure;
  const degrees = measure && !measure.article && (!measure.unit || measure.dimension === "temperature");
  return to > 0 && degrees && ["to", "at"].includes(value(items[to], "prep") ?? "")
    ? { act: "setpoint", kind: "equipment", form: "past", at }
    : undefined;
}

/** "opened LH at noon": a house itself is opened or shut. */
function openedPlace(items: readonly Item[]): Head | undefined {
  const at = items.findIndex((item) => is(item, "openclose") && says(item, "opened a house"));
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
  const finite = says(items[at], "one form") || shaped(items[at], "past");
  if (finite || !is(items[at], "imperative")) return false;
  return !items.slice(0, at).some((item) => is(item, "self") || is(item, "be") || is(item, "light"));
}

function nearestLight(items: readonly Item[], from: number): number {
  for (let i = from - 1; i >= 0; i--) if (is(items[i], "light") || is(items[i], "openclose")) return i;
  const after = some(items, "light", from + 1);
  // "having been taken down"
  const helps = value(items[after], "light") === "have" && is(items[after + 1], "be");
  const main = helps ? some(items, "light", after + 2) : -1;
  return main >= 0 ? main : after;
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
    const one = items[open];
    const broke = one && says(one, "opens or breaks") && one.end - one.start === 1 && open > at;
    if (open < 0 || broke) return undefined;
    return { state: value(items[open], "openclose") as "on" | "off", at: open };
  }
  if (kind === "insulation" || kind === "shading") {
    if (verbValue === "remove" || has(items, "removal")) return { state: "off", at: light >= 0 ? light : at };
    if (verbValue === "take") return { state: "off", at: light };
    const up = items.findIndex((item) => says(item, "puts a cover on"));
    const off = items.findIndex(
      (item) => says(item, "takes a cover off") || (!is(item, "be") && value(item, "polarity") === "off"),
    );
    if (off >= 0) return { state: "off", at: light >= 0 ? light : off };
    if (verbValue === "put" || verbValue === "line" || verbValue === "apply" || says(verb, "puts"))
      return { state: "on", at: light };
    if (up >= 0 && up > at) return { state: "on", at: light >= 0 ? light : up };
    return undefined;
  }
  const polarity = some(items, "polarity");
  if (verbValue === "start" && polarity < 0) return { state: "on", at: light };
  if (verbValue === "set" && polarity < 0 && kind === "heat") return { state: "up", at: light };
  // "cut the heat back to 45"
  if (verbValue === "cut" && items.some((item) => says(item, "comes back")))
    return { state: "up", at: light };
  if (verbValue === "turn" || verbValue === "set" || verbValue === "put") {
    if (items.some((item) => says(item, "regulates")) && polarity < 0) return { state: "up", at: light };
  }
  if (polarity >= 0)
    return {
      state: value(items[polarity], "polarity") as "on" | "off",
      at: light >= 0 && verbValue !== "have" ? light : polarity,
    };
  const state = some(items, "broken");
  if (state >= 0 && BREAKING.has(kind)) return { state: "off", at: state };
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

/** "2.1 on the min": the word leads to a noun. */
const on = (items: readonly Item[], at: number): boolean =>
  is(items[at], "prep") && is(items[at + 1], "det") && is(items[at + 2], "stat");

/** A clause that only says what became of the equipment spoken of before: "came back at 5am", "shut again at 4". */
export function followUpHead(items: readonly Item[], before: Head | undefined): Head | undefined {
  if (before?.kind !== "equipment") return undefined;
  const set = items.findIndex((item) => value(item, "light") === "set" || says(item, "sets"));
  if (before.act === "heat_on" && set >= 0 && set <= 1 && items.slice(set).some((item) => item.measure))
    return { act: "setpoint", kind: "equipment", form: "past", at: set };
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
    if (!state || on(items, i)) continue;
    return { act: state === "on" ? pair[0] : pair[1], kind: "equipment", form: "past", at: i };
  }
  return undefined;
}
