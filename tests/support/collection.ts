import type { CareKnowledge } from "../../bot/horticulture/knowledge.js";

/** A collection of many calendars, the same every time: plants of so many genera in three places. */
export function collectionFile(
  knowledge: CareKnowledge,
  { plants: wanted = 300, genera: kinds = 80, latitude = 54.4, zone = "Europe/Warsaw" } = {},
) {
  const taxa = [...knowledge.lookup.table.taxa.values()];
  const genera = taxa.filter(({ rank, name }) => rank === "genus" && knowledge.lookup.table.rules.has(name));
  const step = Math.floor(genera.length / kinds);
  const chosen = genera.filter((_, index) => index % step === 0).slice(0, kinds);
  const places = ["Long House", "Warm Bench", "Cold Frame House"];
  const materials = ["terracotta", "plastic", "glazed", null];
  const plants = Array.from({ length: wanted }, (_, index) => {
    const taxon = chosen[index % chosen.length] as (typeof chosen)[number];
    const tender = (knowledge.lookup.find(taxon.name)?.rules.winter.least.moist ?? 8) >= 11;
    const hardy = (knowledge.lookup.find(taxon.name)?.rules.winter.least.dry ?? 5) <= 0;
    const place = tender ? places[1] : hardy ? places[2] : places[index % 5 === 4 ? 1 : 0];
    const species = taxa.filter(({ rank, genus }) => rank === "species" && genus === taxon.name);
    const kind = species[Math.floor(index / chosen.length)];
    return {
      tag: `P-${String(index + 1).padStart(3, "0")}`,
      genus: taxon.name,
      ...(kind ? { species: kind.name.split(" ").slice(1).join(" ") } : {}),
      place,
      ...(index % 3 === 0 ? { potDiameterCm: 6 + (index % 17), potMaterial: materials[index % 4] } : {}),
    };
  });
  return {
    locale: "en-GB",
    units: "metric",
    latitude,
    zone,
    places: [
      { name: "Long House", floor: { value: 5, unit: "Cel" }, default: true },
      { name: "Warm Bench", floor: { value: 12, unit: "Cel" } },
      { name: "Cold Frame House", kind: "glasshouse", floor: { value: 1, unit: "Cel" } },
    ],
    members: ["Ines", "Tomasz", "Priya"],
    plants,
  };
}
