import fc from "fast-check";

/**
 * Properties are tried on the same cases in every run, so that a run says of the change at hand whether it broke
 * something; `AREOLE_SEED=random` tries new ones, `AREOLE_SEED=N` those of a run that failed.
 */
const given = process.env.AREOLE_SEED ?? "20270115";
if (given !== "random") fc.configureGlobal({ ...fc.readConfigureGlobal(), seed: Number(given) });
