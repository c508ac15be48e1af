import type { Interpretation } from "../../../bot/language/interpretation.js";

/** What people put around a sentence without changing what it says. */
export interface Wrapper {
  name: string;
  wrap(text: string): string;
}

const lead = (words: string): Wrapper => ({ name: `${words} _`, wrap: (text) => `${words} ${text}` });

/** Behind a sentence that ends in a full stop its words begin a new one; a comma replaces the stop. */
const trail = (words: string): Wrapper => ({
  name: `_ ${words}`,
  wrap: (text) =>
    words.startsWith(",")
      ? `${text.replace(/[.!]+$/, "")}${words}`
      : /^[.!…]/.test(words)
        ? `${text}${words}`
        : `${text} ${words}`,
});

export const LEADING: readonly Wrapper[] = [
  ..."hi all,|hi all|morning all,|morning team!|hey,|evening folks,|hello everyone -|hiya|hi bot,|good morning,".split(
    "|",
  ),
  ..."ok so|so|right,|right then|well,|anyway,|oh,|oh|um,|erm|ah|ooh|yep,|aye|phew,|wow|haha,|listen,".split(
    "|",
  ),
  ..."btw|by the way,|fyi|FYI:|just fyi|PS|just to say|just so you know,|for info,|heads up,|just a heads up:".split(
    "|",
  ),
  ..."update:|quick update -|quick one:|just a quick one,|good news,|bad news,|thanks all,|please|•|*".split(
    "|",
  ),
].map(lead);

export const TRAILING: readonly Wrapper[] = [
  ..."thanks|, thanks|thanks all|, thanks everyone|thx|ta|cheers|, cheers all|many thanks|ta very much".split(
    "|",
  ),
  ..."please|pls|, please|pretty please|x|xx|lol|haha|hehe|lol!|tbh|btw|fyi|, just fyi|fwiw".split("|"),
  ...":)|:-)|;)|:D|😅|🙂🙂|👍|!|!!|!!!|.|...|…|phew|yay|at last|finally|, ok|, ok?".split("|"),
  ...", mate|, everyone|, guys|, folks|sorry for the late note|, sorry for the delay".split("|"),
  ...", for the record|just so you know|if that's ok|when you get a chance|, that's all".split("|"),
].map(trail);

/** The same letters and words, typed otherwise. */
export const TYPED: readonly Wrapper[] = [
  { name: "as it is", wrap: (text) => text },
  { name: "doubled blanks", wrap: (text) => text.replaceAll(" ", "  ") },
  { name: "no-break blanks", wrap: (text) => text.replaceAll(" ", "\u00A0") },
  { name: "tabs", wrap: (text) => text.replaceAll(" ", "\t") },
  { name: "a line break behind", wrap: (text) => `${text}\r\n` },
  { name: "line breaks in front", wrap: (text) => `\n\n${text}` },
  { name: "zero-width blanks", wrap: (text) => [...text].join("\u200B") },
  { name: "right-to-left marks", wrap: (text) => `\u200F${text.replaceAll(" ", " \u200F")}\u200F` },
  { name: "an embedding", wrap: (text) => `\u202B${text}\u202C` },
  { name: "isolates", wrap: (text) => `\u2067${text}\u2069` },
  { name: "a byte-order mark", wrap: (text) => `\uFEFF${text}` },
  { name: "curly quotes", wrap: (text) => text.replaceAll("'", "\u2019") },
  { name: "a real minus", wrap: (text) => text.replace(/(^|\s)-(?=\d)/g, "$1\u2212") },
  { name: "en dashes", wrap: (text) => text.replaceAll(" - ", " \u2013 ") },
  { name: "accents apart", wrap: (text) => text.normalize("NFD") },
  { name: "parentheses", wrap: (text) => (/[()]/.test(text) ? text : `(${text})`) },
];

export const CASED: readonly Wrapper[] = [
  { name: "ALL CAPITALS", wrap: (text) => text.toUpperCase() },
  {
    name: "Title Case",
    wrap: (text) => text.replace(/(?<![\p{L}'\u2019])\p{Ll}/gu, (letter) => letter.toUpperCase()),
  },
  { name: "a capital in front", wrap: (text) => (text[0] ?? "").toUpperCase() + text.slice(1) },
];

/** Words that may begin a correction, and are nothing before a sentence that is complete. */
export const OPENING: readonly Wrapper[] = "sorry,|sorry|also|also,|and|oops,|oh and|plus"
  .split("|")
  .map(lead);

/** What an opening word rightly changes, by what the message says without it. */
export const CHANGED_BY_OPENING: readonly { why: string; when(plain: Interpretation): boolean }[] = [
  {
    why: "a name or a time alone: behind 'sorry' it corrects, behind 'also' it is added",
    when: ({ kind }) => kind === "none" || kind === "unclear",
  },
  {
    why: "one bare value: behind 'sorry' it corrects the one before",
    when: ({ entries }) => entries?.length === 1 && entries[0]?.act === "reading",
  },
  {
    why: "it is a correction already, and may be a fuller one",
    when: ({ instruction }) => instruction?.do === "amend",
  },
];
