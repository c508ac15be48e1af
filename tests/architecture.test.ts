import { readdirSync, readFileSync } from "node:fs";
import { dirname, join, relative, resolve } from "node:path";
import { describe, expect, it } from "vitest";
import { comparedWords } from "./support/compared-words.js";

const ROOT = resolve(import.meta.dirname, "..");

interface Source {
  file: string;
  text: string;
  /** Files of the project as paths from its root, packages by name. */
  imports: string[];
}

function sources(dir: string): Source[] {
  return readdirSync(join(ROOT, dir), { recursive: true, encoding: "utf8" })
    .filter((name) => name.endsWith(".ts"))
    .map((name) => {
      const file = join(dir, name);
      const text = readFileSync(join(ROOT, file), "utf8");
      const imports = [...text.matchAll(/(?:from|import)\s*\(?\s*"([^"]+)"/g)].map(([, target = ""]) =>
        target.startsWith(".")
          ? relative(ROOT, resolve(ROOT, dirname(file), target)).replace(/\.js$/, ".ts")
          : target,
      );
      return { file, text, imports };
    });
}

const FILES = [...sources("bot"), ...sources("db")];

/** Where a file belongs; each layer may import itself and what is named here, nothing else of the project. */
const MAY_IMPORT: Readonly<Record<string, readonly string[]>> = {
  "bot/horticulture": [],
  "bot/language": ["bot/horticulture"],
  "bot/journal": ["bot/horticulture", "bot/language", "bot/clock.ts"],
  "bot/nudges": ["bot/horticulture", "bot/language", "bot/journal", "bot/clock.ts", "bot/log.ts"],
  "bot/messenger": [
    "bot/horticulture",
    "bot/language",
    "bot/journal",
    "bot/nudges",
    "bot/clock.ts",
    "bot/log.ts",
  ],
  // The store knows the ports it implements and the trade's types, not who uses it.
  db: [
    "bot/horticulture",
    "bot/language/interpretation.ts",
    "bot/journal/ports.ts",
    "bot/messenger/ports.ts",
    "bot/nudges/ports.ts",
    "bot/clock.ts",
    "bot/log.ts",
  ],
};

const within = (file: string, place: string): boolean => file === place || file.startsWith(`${place}/`);
const layerOf = (file: string): string | undefined =>
  Object.keys(MAY_IMPORT).find((layer) => within(file, layer));

/** Packages that belong to one place. */
const PACKAGE_HOMES: Readonly<Record<string, readonly string[]>> = {
  grammy: ["bot/messenger"],
  "drizzle-orm": ["db"],
  postgres: ["db"],
  "@electric-sql/pglite": ["db"],
  "node-cron": ["bot/nudges/ticker.ts"],
  "chrono-node": ["bot/language"],
  pdfkit: ["bot/messenger"],
};

const packageOf = (name: string): string =>
  name.startsWith("@") ? name.split("/").slice(0, 2).join("/") : (name.split("/")[0] ?? name);

describe("imports", () => {
  it.each(Object.keys(MAY_IMPORT))("run one way from %s", (layer) => {
    const allowed = [layer, ...(MAY_IMPORT[layer] ?? [])];
    const wrong = FILES.filter((source) => layerOf(source.file) === layer).flatMap((source) =>
      source.imports
        .filter((target) => within(target, "bot") || within(target, "db"))
        .filter((target) => !allowed.some((place) => within(target, place)))
        .map((target) => `${source.file} imports ${target}`),
    );
    expect(wrong).toEqual([]);
  });

  it.each(Object.entries(PACKAGE_HOMES))("keep %s at home", (name, homes) => {
    const users = FILES.filter((source) => source.imports.some((target) => packageOf(target) === name)).map(
      (source) => source.file,
    );
    expect(users.filter((file) => !homes.some((home) => within(file, home)))).toEqual([]);
    expect(users.length).toBeGreaterThan(0);
  });

  it("leave main.ts to nobody", () => {
    const users = FILES.filter((source) => source.imports.includes("bot/main.ts"));
    expect(users.map((source) => source.file)).toEqual([]);
  });
});

describe("the logic", () => {
  const pure = ["bot/horticulture", "bot/language", "bot/journal", "bot/nudges"];

  it("takes its time from a clock passed in", () => {
    const readers = FILES.filter((source) => pure.some((place) => within(source.file, place))).filter(
      (source) => /new Date\(\)|Date\.now\(|Temporal\.Now\b/.test(source.text),
    );
    expect(readers.map((source) => source.file)).toEqual([]);
  });

  it("reads no files in the trade and opens no connection in language or trade", () => {
    const readers = FILES.filter((source) => within(source.file, "bot/horticulture")).filter((source) =>
      source.imports.some((target) => target.startsWith("node:")),
    );
    expect(readers.map((source) => source.file)).toEqual([]);
  });

  it("uses no any, no leftovers, no skipped checks", () => {
    const bad = FILES.filter((source) =>
      /\bas any\b|: any\b|TODO|FIXME|@ts-ignore|console\.log\(/.test(source.text),
    );
    expect(bad.map((source) => source.file)).toEqual([]);
  });
});

describe("the rules of the language", () => {
  /** What every language has in common: the Latin of botany, names of time zones and points of the globe. */
  const shared = ["bot/language/names/latin.ts", "bot/language/symbols.ts"];
  const LANGUAGE_FILES = FILES.filter(
    ({ file }) => within(file, "bot/language") && !within(file, "bot/language/en") && !shared.includes(file),
  );
  const folders = [...new Set(LANGUAGE_FILES.map(({ file }) => dirname(file)))];

  it("are looked through wherever no single language is at home", () => {
    const wanted = [
      "bot/language",
      ...["clauses", "decide", "entries", "names"].map((one) => `bot/language/${one}`),
    ];
    expect(folders).toEqual(expect.arrayContaining(wanted));
  });

  it.each(folders)("compare no word of a message with one of their own: %s", (folder) => {
    const words = LANGUAGE_FILES.filter(({ file }) => dirname(file) === folder).flatMap(({ file, text }) =>
      comparedWords(text).map((line) => `${file}:${line}`),
    );
    expect(words).toEqual([]);
  });

  it.each([
    'if (item.token.key === "the") return;',
    'const plain = token.lower !== "up" && at > 0;',
    'if ((items[at]?.token.key ?? "") === "to") return;',
    'if ("the" === items[at]?.token.key) return;',
    'const { key } = item.token;\nif (key === "to") return;',
    'const key = items[at]?.token.key ?? "";\nif (key !== "to") return;',
    'const up = tokens.some(({ key }: Token) => key === "up");',
    'const up = items.some(({ token: { key } }) => key === "up");',
    'return item.token.key.endsWith("ed");',
    'return token.key.replace(/s$/, "");',
    'return ["put", "set"].includes(item.token.key);',
    'return ["put", "set"].includes(items[at + 1]?.token.key ?? "");',
    "return /(?:ing|ed)$/.test(item.token.key);",
    'const ARTICLES: ReadonlySet<string> = new Set([\n  "a",\n  "an",\n]);\nreturn ARTICLES.has(item.token.key);',
    "const PLURAL = /(?:s|i|ae)$/;\nreturn PLURAL.test(first.token.key);",
    'const FORMS = { went: "go" };\nreturn FORMS[token.key];',
    'switch (token.key) {\n  case "a":\n    return 1;\n}',
    'return keyOf(item) === "not";',
    'return ["a", "an"].includes(keyOf(items[at]));',
    'if (tokenise(name, writing)[0]?.key === "the") return;',
    'if (keys[0] === "the") return;',
    'if (word.endsWith("s")) return;',
    "return /[sie]$/.test(word);",
    "const CLIPPED = /t'/y;\nreturn CLIPPED.test(text);",
    `this.nameStarts.add(\`\${lower}s\`);`,
    `near.add(\`\${plant.name.toLowerCase()}s\`, id, sense);`,
  ])("would be seen to compare words in %j", (line) => {
    expect(comparedWords(line)).toHaveLength(1);
  });

  it.each([
    'if (item.token.text === ",") return;',
    'const SENTENCE = new Set([".", "\\n"]);\nreturn SENTENCE.has(token.text);',
    "return /^[.;:!?\\n()]$/.test(item.token.text);",
    'return says(item, "sweeps") && item.token.kind === "word";',
    'return value(item, "prep") === "of" && item.token.key.length > 5;',
    'for (const key of ["place", "when"] as const) if (key === "place") return entry[key];',
    '// item.token.key === "the"\nreturn item.token.capital;',
    "const at = items.findIndex((item) => wanted.includes(item.token.key));",
    "return MOUTHS.includes(text[at] as string);",
    `return name === "" ? "" : \`\${name} \${named.species}\`;`,
  ])("are let be in %j", (line) => {
    expect(comparedWords(line)).toEqual([]);
  });
});
