import type { Writing } from "../language.js";

/** "t'aloes": a word clipped to one letter stands before the next one; "t'was" and "I'm" are words of their own. */
const CLIPPED = /t'(?=[a-z]{4})/iy;

/** "we're" is not "were" and "we'd" no Wednesday; every other apostrophe says nothing. */
const CONTRACTED = /^(?:we|she|he|i|they|you|it)'(?:re|ll|d)$/;

/** How English is written. */
export const writing: Writing = {
  clips(text, from) {
    CLIPPED.lastIndex = from;
    return CLIPPED.test(text);
  },
  bare: (word) => (CONTRACTED.test(word) ? word : word.replaceAll("'", "")),
};
