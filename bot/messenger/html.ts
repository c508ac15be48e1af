/** Longest text of a message and of a caption, in UTF-16 units after entity parsing. @source Bot API documentation */
export const TEXT_LIMIT = 4096;
export const CAPTION_LIMIT = 1024;

/**
 * Plain text for parse mode HTML: nothing a person typed can become markup.
 * @example escapeHtml("min < 4 & damp") //=> "min &lt; 4 &amp; damp"
 */
export function escapeHtml(text: string): string {
  return text.replaceAll("&", "&amp;").replaceAll("<", "&lt;").replaceAll(">", "&gt;");
}

/**
 * At most `limit` UTF-16 units, cut at the end of a line or a word where there is one, with "…" to show it.
 * Never splits a surrogate pair.
 */
export function shorten(text: string, limit: number): string {
  if (text.length <= limit) return text;
  const head = text.slice(0, limit - 1);
  const line = head.lastIndexOf("\n");
  const word = head.lastIndexOf(" ");
  const cut = line > limit / 2 ? line : word > limit / 2 ? word : head.length;
  const kept = head.slice(0, cut);
  return `${/[\ud800-\udbff]$/.test(kept) ? kept.slice(0, -1) : kept}…`;
}
