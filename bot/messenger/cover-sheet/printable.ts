/**
 * Text as the standard fonts of a PDF can show it (Windows-1252): letters beyond it lose their marks ("Gdańsk" keeps
 * the n), signs beyond it are written out or left out. A PDF's standard fonts need no font file on any machine.
 */
export function printable(text: string): string {
  return [...text.normalize("NFC")].map(shown).join("").replace(/ {2,}/g, " ").trim();
}

/** What Windows-1252 has beyond Latin-1. */
const BEYOND_LATIN_1 = new Set("€‚ƒ„…†‡ˆ‰Š‹ŒŽ‘’“”•–—˜™š›œžŸ");
const WRITTEN: Readonly<Record<string, string>> = {
  "−": "-",
  "≥": "at least ",
  "≤": "at most ",
  "→": "to",
  ł: "l",
  Ł: "L",
  đ: "d",
  Đ: "D",
  ħ: "h",
  ı: "i",
  "\u202f": " ",
  "\u2009": " ",
  "\t": " ",
  "\n": " ",
};

function shown(character: string): string {
  const written = WRITTEN[character];
  if (written !== undefined) return written;
  if (inFont(character)) return character;
  const bare = character.normalize("NFD").replace(/\p{M}/gu, "");
  if (bare !== "" && [...bare].every(inFont)) return bare;
  return /[\p{L}\p{N}]/u.test(character) ? "?" : "";
}

function inFont(character: string): boolean {
  const code = character.codePointAt(0) ?? 0;
  return (code >= 0x20 && code <= 0x7e) || (code >= 0xa0 && code <= 0xff) || BEYOND_LATIN_1.has(character);
}
