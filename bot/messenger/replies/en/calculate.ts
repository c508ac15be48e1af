import type { CalculationResult } from "../../../horticulture/climate/calculate.js";
import { difference, type Manner, number, quantity, readTemperature, temperature } from "./figures.js";

type Of<K extends CalculationResult["kind"]> = Extract<CalculationResult, { kind: K }>;

/** A sum in words: the result, what was taken for it, and the caution that belongs to it. */
export interface Calculated {
  lines: string[];
  /** The formula and where it is from. */
  why: string[];
}

export const LABEL_FIRST =
  "The label goes first: plant, place and rate must stand on it. Measure, and never make it stronger.";
const HOLD_CAUTION = "keep a min/max thermometer or an alarm of its own.";
const MAINS =
  "Mains in the damp: a heater rated for greenhouses behind an RCD; fixed wiring is an electrician's.";

export function calculateLines(result: CalculationResult, manner: Manner): Calculated {
  switch (result.kind) {
    case "dew_point":
      return dewPoint(result, manner);
    case "vapour_pressure_deficit":
      return {
        lines: [
          `Vapour pressure deficit ${number(result.kPa, 2)} kPa, for air of ${air(result, manner)}.`,
          "By the air's temperature: a leaf that is cooler than the air has less, down to dew.",
        ],
        why: ["Saturation pressure 0.6108 exp(17.27 T / (T + 237.3)) kPa: FAO-56, chapter 3."],
      };
    case "relative_humidity":
      return {
        lines: [
          `${number(result.fromRh, 0)} % at ${readTemperature(result.fromC, manner)} is ${number(result.rh, 0)} % at ${readTemperature(result.toC, manner)}, if no water is added.`,
          "The dew point stays the same; only drier air from outside lowers it.",
        ],
        why: ["Saturation pressure after FAO-56, chapter 3; humidity over water, also below zero."],
      };
    case "heat_hold":
      return heatHold(result, manner);
    case "running_cost":
      return runningCost(result);
    case "substrate_volume":
      return substrate(result, manner);
    case "dilution":
      return dilution(result, manner);
    case "dilution_by_weight":
      return {
        lines: [`${number(result.grams, 1)} g in ${litres(result.litres, manner)}.`, LABEL_FIRST],
        why: ["Grams a litre times litres."],
      };
    case "day_length":
      return dayLength(result);
    case "germination":
      return germination(result);
    case "convert": {
      const { from, to } = result;
      const note = result.difference ? " A difference: no 32 is added." : "";
      return {
        lines: [`${quantity(from)} is ${quantity(to, Math.abs(to.value) < 1 ? 3 : 2)}.${note}`],
        why: ["Factors of NIST SP 811, appendix B (from memory)."],
      };
    }
    case "cannot":
      return { lines: [cannot(result)], why: [] };
  }
}

const air = ({ airC, rh }: { airC: number; rh: number }, manner: Manner): string =>
  `${readTemperature(airC, manner)} and ${number(rh, 0)} %`;

function dewPoint(result: Of<"dew_point">, manner: Manner): Calculated {
  const frost =
    result.frostC === null
      ? "What is colder gets wet: glass first, then leaves and pot rims."
      : `Hoar forms on what is colder than ${readTemperature(result.frostC, manner)} (frost point).`;
  return {
    lines: [
      `Dew point ${readTemperature(result.dewC, manner)}, for air of ${air(result, manner)}.`,
      frost,
      `A hygrometer that is 3 % out moves it by about ${difference(HYGROMETER_K, manner, 1)}.`,
    ],
    why: [
      "Magnus form over water, WMO-No. 8, annex 4.B (from memory); the frost point by its form over ice.",
    ],
  };
}
/** Shift of the dew point near 85 % by 3 % of humidity, K (the slope of the Magnus form). */
const HYGROMETER_K = 0.5;

function heatHold(result: Of<"heat_hold">, manner: Manner): Calculated {
  const { heaterW, insideC, outsideC, mayLoseWPerK, own, yardsticks } = result;
  const heater = power(heaterW);
  const inside = temperature(insideC, manner);
  const first = own
    ? `${heater} holds ${inside} down to ${temperature(own.holdsDownToC, manner)} outdoors${own.holds === null ? "" : own.holds ? ": yes" : ": no"}.`
    : mayLoseWPerK !== null && outsideC !== null
      ? `${heater} holds ${inside} at ${temperature(outsideC, manner)} outdoors if the house loses no more than ${number(mayLoseWPerK, 0)} W/K.`
      : `How cold ${heater} holds ${inside} depends on what the house loses.`;
  const compared = yardsticks.map(
    ({ covering, lossWPerK, holdsDownToC }) =>
      `${number(lossWPerK, 0)} W/K in ${covering}: down to ${temperature(holdsDownToC, manner)}`,
  );
  const size = manner.units === "imperial" ? "12 by 8 ft" : "3.6 by 2.4 m";
  return {
    lines: [
      first,
      `For comparison, a typical house of ${size} loses about ${compared.join("; ")}. Yours may differ: its walls, gables and roof count, not the floor.`,
      `An estimate for a still, overcast night, no guarantee: allow ${difference(2, manner)} to ${difference(3, manner)} for wind and clear sky, and ${HOLD_CAUTION}`,
      MAINS,
    ],
    why: [
      "Loss W/K = surface × U + 0.33 × air changes × volume; the heater's watts over it are the kelvins it lifts.",
      "U 5.75 of single glass with 1 air change an hour, 4.2 W/m²K bubble-lined with 0.8: growers' and makers' tables.",
      "Ground, thermal mass, wind, snow and clear sky are left out.",
    ],
  };
}

const power = (watts: number): string =>
  watts >= 1000 ? `${number(watts / 1000, 2)} kW` : `${number(watts, 0)} W`;

function runningCost({ heaterW, hours, kWh, cost, currency }: Of<"running_cost">): Calculated {
  const span = hours === 1 ? "1 hour" : `${number(hours, 1)} hours`;
  const price = cost === null ? "" : `, ${[cost.toFixed(2), currency].filter(Boolean).join(" ")}`;
  return {
    lines: [
      `${power(heaterW)} for ${span} at full power: ${number(kWh, 1)} kWh${price}.`,
      cost === null
        ? "With a price it becomes money: “2 kW for 10 hours at 0.30 per kWh”."
        : "A thermostat switches it off part of the time, so this is the most it can be.",
    ],
    why: ["Kilowatts times hours, times the price told; no standing charge."],
  };
}

const US_GAL_L = 3.785411784;
const US_FLOZ_ML = 29.5735295625;
const CM_PER_IN = 2.54;

/** Litres, and US gallons beside them where those are spoken. */
const litres = (value: number, { units }: Manner): string =>
  units === "imperial"
    ? `${number(value / US_GAL_L, 2)} US gal (${number(value, 1)} l)`
    : `${number(value, 1)} l`;

const millilitres = (value: number, { units }: Manner): string => {
  const ml = `${number(value, value < 10 ? 1 : 0)} ml`;
  return units === "imperial" ? `${number(value / US_FLOZ_ML, 2)} US fl oz (${ml})` : ml;
};

const width = (cm: number, { units }: Manner): string =>
  units === "imperial" ? `${number(cm / CM_PER_IN)} in` : `${number(cm)} cm`;

/** From here on two people or a trolley (common practice): wet mix weighs some 1.4 kg a litre. */
const HEAVY_L = 12;

function substrate(result: Of<"substrate_volume">, manner: Manner): Calculated {
  const { pots, topCm, heightCm, eachL, totalL, partsL, heightAssumed } = result;
  const what =
    pots === 1 ? `A ${width(topCm, manner)} pot` : `${number(pots, 0)} pots of ${width(topCm, manner)}`;
  const each = pots === 1 ? "" : `, ${number(eachL, 2)} l each`;
  return {
    lines: [
      `${what}: ${litres(totalL, manner)}${each}. Measure out about ${litres(partsL, manner)} of loose parts.`,
      `Taken: round and tapered, ${width(heightCm, manner)} deep${heightAssumed ? " as usual" : ""}, filled to a finger under the rim; a mix shrinks by about 15 %.`,
      eachL > HEAVY_L
        ? "A pot of that size is heavy when wet: two people or a trolley."
        : "Dust of dry pumice, perlite or sand: wet the bag first, work outdoors, wear a dust mask.",
    ],
    why: [
      "Tapered pot: π h/12 (D² + D d + d²). Taper, depth and shrinking are common practice; measure one pot.",
    ],
  };
}

/** Above this share the two meanings of 1:N make a difference worth a line. */
const MEANINGS_APART = 0.02;

function dilution(result: Of<"dilution">, manner: Manner): Calculated {
  const { litres: whole, productMl, oneToMl, ratio } = result;
  const amount = `${millilitres(productMl, manner)} of product`;
  const lines =
    ratio !== null && oneToMl !== null
      ? [
          `${amount}, topped up with water to ${litres(whole, manner)}: 1:${number(ratio, 0)} read as one part in ${number(ratio, 0)}.`,
        ]
      : [`${amount} in ${litres(whole, manner)}.`];
  if (ratio !== null && oneToMl !== null && productMl - oneToMl > MEANINGS_APART * productMl) {
    lines.push(
      `Where the label means one part to ${number(ratio, 0)} parts of water: ${millilitres(oneToMl, manner)}.`,
    );
  }
  return {
    lines: [...lines, LABEL_FIRST],
    why: [
      "1:N is written for one in N and for one to N; at 1:200 they differ by half a per cent, at 1:4 by a fifth.",
    ],
  };
}

const HIGH_LATITUDE = 60;

function dayLength({ date, latitude, hours, sunriseToSunset }: Of<"day_length">): Calculated {
  const where = `${number(Math.abs(latitude), 1)}° ${latitude < 0 ? "S" : "N"}`;
  const on = `${date.day} ${MONTH[date.month - 1]} ${date.year}`;
  const near =
    Math.abs(latitude) > HIGH_LATITUDE ? [`So far from the equator it is good to some minutes only.`] : [];
  return {
    lines: [`${on}, ${where}: ${clock(sunriseToSunset)} from sunrise to sunset.`, ...near],
    why: [
      "Upper limb of the sun with refraction, altitude −0.833°, as almanacs print it.",
      `By the centre of the sun, as FAO-56 reckons: ${clock(hours)}.`,
    ],
  };
}
const MONTH = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"];

function clock(hours: number): string {
  const minutes = Math.round(hours * 60);
  return `${Math.floor(minutes / 60)} h ${minutes % 60} min`;
}

function germination({ count, outOf, rate, interval }: Of<"germination">): Calculated {
  const [low, high] = interval;
  const percent = (share: number) => number(100 * share, 0);
  return {
    lines: [
      `${count} of ${outOf} up: ${percent(rate)} %. So few seeds say: between ${percent(low)} and ${percent(high)} % (95 %).`,
      "Seeds of one pot share its luck, so the true span is wider. Count again on a date you note.",
    ],
    why: ["Wilson interval: NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.4.1."],
  };
}

const NEEDS: Readonly<Record<string, string>> = {
  air_temperature: "Of what temperature? For example: “dew point at 18 °C and 70 %”.",
  relative_humidity: "At what humidity? For example: “dew point at 18 °C and 70 %”.",
  heater: "How strong is the heater? For example: “will 2 kW hold 5 °C at -12”.",
  inside: "Which temperature is to be held? For example: “will 2 kW hold 5 °C at -12”.",
  outside: "How cold outdoors? For example: “will 2 kW hold 5 °C at -12”.",
  duration: "For how long? For example: “what do 2 kW for 10 hours cost at 0.30 per kWh”.",
  diameter: "How wide are the pots? For example: “how much mix for 40 pots of 9 cm”.",
  volume: "In how much water? For example: “1:200 in 5 litres”.",
  dilution: "How strong, by the label? For example: “1:200 in 5 litres” or “2 ml per litre in 5 litres”.",
  latitude: "Where is the glasshouse? For example: “we are near Gdansk”.",
  count: "How many of how many? For example: “germination of 12 of 40”.",
  outOf: "Of how many? For example: “germination of 12 of 40”.",
  value: "Convert what? For example: “50 °F in °C”.",
  to: "Into which unit? For example: “50 °F in °C”.",
};
const IMPOSSIBLE: Readonly<Record<string, string>> = {
  relative_humidity: "Humidity lies above 0 and up to 100 %.",
  outside: "It is no colder outdoors than what is to be held, so nothing needs heating.",
  count: "Seedlings are counted in whole numbers, and no more come up than were sown.",
  date: "There is no such day.",
  air_temperature: "No glasshouse is as cold or as hot as that.",
  inside: "No glasshouse is as cold or as hot as that.",
};

function cannot({ why, input }: Of<"cannot">): string {
  const needs = NEEDS[input] ?? "That can not be worked out here.";
  if (why === "missing") return needs;
  if (why === "impossible") return IMPOSSIBLE[input] ?? `That number can not be right. ${needs}`;
  return `That unit does not fit. ${needs}`;
}
