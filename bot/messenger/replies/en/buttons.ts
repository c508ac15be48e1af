import type { Choice } from "../../../journal/outcome.js";
import type { Button } from "../../../journal/ports.js";
import { unitWords } from "./figures.js";
import { plural } from "./plurals.js";

/** Button data holds this many bytes at most. */
const BYTES = 64;

/** A button that does what typing the words would do. */
export function sayButton(label: string, words: string): Button {
  const data = `say:${words}`;
  const bytes = new TextEncoder().encode(data);
  // Cut between characters: half of one would come back as another.
  return {
    label,
    data:
      bytes.length <= BYTES ? data : new TextDecoder().decode(bytes.slice(0, BYTES)).replace(/\uFFFD+$/u, ""),
  };
}

export const undoButton = (entryId: string): Button => ({ label: "Undo", data: `undo:${entryId}` });
export const WHY: Button = { label: "Why", data: "why" };
export const MORE: Button = { label: "More", data: "more" };

const ACT_WORDS: Readonly<Record<string, string>> = { water: "watered", feed: "fed", repot: "repotted" };

/** Up to three likely answers to a question asked back. */
export const choiceButtons = (choices: readonly Choice[]): Button[][] =>
  choices.length === 0 ? [] : [choices.slice(0, 3).map(choiceButton)];

function choiceButton(choice: Choice): Button {
  switch (choice.kind) {
    case "genus": {
      const name = plural(choice.genus);
      return sayButton(name.charAt(0).toUpperCase() + name.slice(1), choice.genus);
    }
    case "everything": {
      const words = choice.place ? `Everything in ${choice.place}` : "Everything";
      return sayButton(words, words.charAt(0).toLowerCase() + words.slice(1));
    }
    case "place":
      return sayButton(choice.place, choice.place);
    case "unit": {
      const words = unitWords(choice.unit).replace(/^US /, "");
      return sayButton(words, words);
    }
    case "act": {
      const words = ACT_WORDS[choice.act] ?? choice.act;
      return sayButton(words, words);
    }
  }
}
