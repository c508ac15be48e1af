import type { HouseholdContext } from "../context.js";
import type { Subject } from "../interpretation.js";
import { type Item, itemOf } from "../item.js";
import { meaningOf } from "../sense.js";
import type { Token } from "../tokenise.js";
import type { Vocabulary } from "../vocabulary.js";
import { crosses, isRank, looksLikeEpithet, marksCultivar } from "./latin.js";

/**
 * Lets a genus take what belongs to its name behind it: epithet, variety, cultivar in quotes, field number
 * ("Copiapoa cinerea KK 1234").
 */
export function extendName(item: Item, tokens: readonly Token[], vocabulary: Vocabulary): Item {
  const subject = item.subject;
  if (!subject?.genus) return item;
  let end = item.end;
  let named: Subject = { ...subject };
  const written = tokens[item.start]?.key ?? "";
  if (!named.species) {
    const epithet = readEpithet(tokens, end, written, named, vocabulary);
    if (epithet) {
      end = epithet.end;
      named = epithet.subject;
    }
  }
  const cultivar = readCultivar(tokens, end, named, vocabulary);
  if (cultivar) {
    end = cultivar.end;
    named.cultivar = cultivar.name;
  }
  const field = readFieldNumber(tokens, end, vocabulary);
  if (field) {
    end = field.end;
    named.fieldNumber = field.text;
  }
  return end === item.end && !subject.as ? item : { ...item, end, subject: named };
}

function readEpithet(
  tokens: readonly Token[],
  at: number,
  written: string,
  subject: Subject,
  vocabulary: Vocabulary,
): { end: number; subject: Subject } | undefined {
  let next = at;
  if (crosses(tokens[next]?.key ?? "") && tokens[next + 1]?.kind === "word") next++;
  const token = tokens[next];
  if (token?.kind !== "word" || token.key.length < 3) return undefined;
  const genus = subject.genus as string;
  // "two euphorbia obesas", "euphorbia obesa's": the epithet in a plural or as an owner
  const bare = token.owner ?? vocabulary.lexicon.language.singular(token.key);
  const epithets = vocabulary.epithets.get(genus);
  if (bare && epithets?.has(bare) && !epithets.has(token.key))
    return { end: next + 1, subject: { ...subject, species: bare } };
  const renamed = vocabulary.binomials.get(`${written} ${token.key}`);
  const known =
    vocabulary.epithets.get(genus)?.has(token.key) ||
    (subject.as && vocabulary.generaOf.get(token.key)?.some((one) => one.toLowerCase() === written));
  if (!renamed && !known) {
    if (
      vocabulary.phrases.has(token.key) ||
      vocabulary.genusOf(token.key) ||
      vocabulary.lexicon.ordinary.has(token.key) ||
      !looksLikeEpithet(token.key)
    )
      return undefined;
  }
  const species = renamed?.species ?? token.key;
  const result: Subject = renamed ? { ...renamed, as: `${written} ${token.key}` } : { ...subject, species };
  return { end: skipInfraspecific(tokens, next + 1), subject: result };
}

/** "var. cristata", "subsp. minima": read past, the species is what care rules know. */
function skipInfraspecific(tokens: readonly Token[], at: number): number {
  let next = at;
  if (!isRank(tokens[next]?.key ?? "") || tokens[next]?.glued) return at;
  next++;
  if (tokens[next]?.text === ".") next++;
  return tokens[next]?.kind === "word" && looksLikeEpithet(tokens[next]?.key ?? "") ? next + 1 : at;
}

function readCultivar(
  tokens: readonly Token[],
  at: number,
  subject: Subject,
  vocabulary: Vocabulary,
): { end: number; name: string } | undefined {
  const quote = tokens[at]?.text;
  if ((quote === "'" || quote === '"') && !tokens[at]?.glued) {
    for (let end = at + 1; end < tokens.length && end < at + 6; end++) {
      if (tokens[end]?.text === quote && tokens[end]?.glued)
        return { end: end + 1, name: join(tokens, at + 1, end) };
    }
  }
  const known = vocabulary.cultivars.get(subject.genus as string);
  if (!known) return undefined;
  const start = marksCultivar(tokens[at]?.key ?? "") ? at + 1 : at;
  for (let end = Math.min(tokens.length, start + 4); end > start; end--) {
    const name = known.get(join(tokens, start, end).toLowerCase());
    if (name) return { end, name };
  }
  return undefined;
}

const join = (tokens: readonly Token[], from: number, end: number): string => {
  let text = "";
  for (let i = from; i < end; i++) {
    const token = tokens[i] as Token;
    text += (i > from && !token.glued ? (token.hyphen ? "-" : " ") : "") + token.text;
  }
  return text;
};

function readFieldNumber(
  tokens: readonly Token[],
  at: number,
  vocabulary: Vocabulary,
): { end: number; text: string } | undefined {
  const prefix = tokens[at];
  const number = tokens[at + 1];
  if (prefix?.kind !== "word" || number?.kind !== "number" || !Number.isInteger(number.value))
    return undefined;
  const upper =
    prefix.text.length >= 1 && prefix.text.length <= 4 && prefix.text === prefix.text.toUpperCase();
  const guessed = upper && prefix.text.length >= 2 && !shouted(tokens[at - 1]);
  if (!vocabulary.fieldPrefixes.has(prefix.key) && !guessed) return undefined;
  if (vocabulary.phrases.has(prefix.key) && (!upper || shouted(tokens[at - 1]))) return undefined;
  const letter = tokens[at + 2];
  const tail = letter?.glued && letter.kind === "word" && letter.text.length === 1 ? letter.text : "";
  return {
    end: tail ? at + 3 : at + 2,
    text: `${prefix.text}${number.glued ? "" : " "}${number.text}${tail}`,
  };
}

/** A message all in capitals makes no word a collector's prefix. */
const shouted = (token: Token | undefined): boolean =>
  token !== undefined && token.text.length > 1 && token.text === token.text.toUpperCase();

/** "A. polyphylla" after a first mention of Aloe, or where only one genus with that letter has the epithet. */
export function readAbbreviation(
  tokens: readonly Token[],
  from: number,
  context: HouseholdContext,
  vocabulary: Vocabulary,
  before: readonly Item[],
): Item | undefined {
  const letter = tokens[from] as Token;
  if (letter.kind !== "word" || letter.text.length !== 1) return undefined;
  const dotted = tokens[from + 1]?.text === "." && tokens[from + 1]?.glued;
  const epithet = tokens[dotted ? from + 2 : from + 1];
  if (epithet?.kind !== "word" || (!dotted && !letter.capital)) return undefined;
  const genera = (vocabulary.generaOf.get(epithet.key) ?? []).filter(
    (genus) => genus[0]?.toLowerCase() === letter.key,
  );
  const mentioned = [
    ...before
      .map((item) => item.subject?.genus)
      .filter((genus): genus is string => genus !== undefined)
      .reverse(),
    ...(context.recentGenera ?? []),
    ...context.plants.map((plant) => plant.genus ?? ""),
  ];
  const genus =
    mentioned.find((one) => genera.includes(one)) ??
    (genera.length > 0
      ? genera[0]
      : mentioned.find(
          (one) => one[0]?.toLowerCase() === letter.key && dotted && looksLikeEpithet(epithet.key),
        ));
  if (!genus) return undefined;
  const subject: Subject = { genus, species: epithet.key };
  const item = itemOf(from, dotted ? from + 3 : from + 2, letter, [
    meaningOf({ cls: "name", value: genus, subject }),
  ]);
  item.subject = subject;
  return item;
}
