/** Repeatable random numbers in [0, 1): mulberry32, Tommy Ettinger, public domain. */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let mixed = Math.imul(state ^ (state >>> 15), 1 | state);
    mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
    return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
  };
}

const USUAL_SEED = 20270115;

/** The seed of a run: always the same, `AREOLE_FAULT_SEED=N` another, `AREOLE_FAULT_SEED=random` a new one. */
export function runSeed(): number {
  const words = process.env.AREOLE_FAULT_SEED;
  if (words === "random") return Math.floor(Math.random() * 1_000_000_000) + 1;
  const given = Number(words);
  return Number.isInteger(given) && given > 0 ? given : USUAL_SEED;
}
