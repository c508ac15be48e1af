import { type Classes, classesOfSense } from "./classes.js";
import type { Subject } from "./interpretation.js";

export type VerbForm = "base" | "third" | "past" | "gerund" | "noun" | "state";

/** One meaning of a word or phrase, as a row of a word table gives it. */
export interface Sense {
  /** Word class: "act", "plan", "pest", ... */
  cls: string;
  /** The class's value: the act, the pest's name, ... */
  value: string;
  form?: VerbForm;
  /** Slots that the word fills by itself: "soaked" is a dose. */
  slots?: Readonly<Record<string, string>>;
  subject?: Subject;
}

/** A sense as it stands in the index of words, with its classes as bits. */
export interface Meaning extends Sense {
  readonly classes: Classes;
}

/** A sense for the index, with every key in its place: objects of one shape are read fastest. */
export const meaningOf = ({ cls, value, form, slots, subject }: Sense): Meaning => ({
  cls,
  value,
  form,
  slots,
  subject,
  classes: classesOfSense(cls, form),
});
