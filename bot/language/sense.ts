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

/** The same sense with every key in its place: objects of one shape are read fastest. */
export const senseOf = ({ cls, value, form, slots, subject }: Sense): Sense => ({
  cls,
  value,
  form,
  slots,
  subject,
});
