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

/** The seed of a run: `AREOLE_FAULT_SEED`, or a new one. */
export function runSeed(): number {
  const given = Number(process.env.AREOLE_FAULT_SEED);
  return Number.isInteger(given) && given > 0 ? given : Math.floor(Math.random() * 1_000_000_000) + 1;
}
