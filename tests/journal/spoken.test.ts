import { afterAll, beforeAll, beforeEach, expect, test } from "vitest";
import { interpretContext, openScope } from "../../bot/journal/scope.js";
import { buildVocabulary, interpret, readEnglishLexicon } from "../../bot/language/index.js";
import { readNameRows } from "../../db/names/read.js";
import { openEmbeddedStore, type TestStore } from "../support/pglite.js";
import { clock, Glasshouse, PEOPLE } from "./glasshouse.js";

/** Sentences as they are typed, through the reader that is shipped. */
const vocabulary = buildVocabulary(readNameRows(), readEnglishLexicon());
let ground: TestStore;
let house: Glasshouse;
beforeAll(async () => {
  ground = await openEmbeddedStore(clock);
});
afterAll(() => ground.end());
beforeEach(async () => {
  house = await Glasshouse.found(ground.store);
});

async function type(text: string): Promise<string> {
  const context = await house.within(async (journal) => {
    const author = { userId: PEOPLE.Ines, name: "Ines" };
    const here = { chatId: house.chatId, threadId: null, messageId: null, isPrivate: false, replyTo: null };
    const scope = await openScope(
      journal,
      { ...here, text, author, addressed: true, at: clock.now() },
      "UTC",
    );
    return interpretContext(scope);
  });
  return (await house.say(interpret(text, context, vocabulary), { text, addressed: true })).said?.text ?? "";
}

test.each([
  ["watered the aloes", "Aloe, Long House: watered, today."],
  ["min 4 last night", "❄ Long House, night of 14 to 15 Jan: min 4 °C, 1 K under its floor of 5 °C."],
  ["12 of the 40 copiapoas are up", "12 of 40 Copiapoa up, Long House, today."],
  ["mealybug on two of the echeverias", "Echeveria, Long House: mealybug, 2 plants, today."],
  [
    "moved the aloes from the long house to the warm bench",
    "Aloe: moved from Long House to Warm Bench, today.",
  ],
  ["floor in the long house is 6", "Long House: kept above 6 °C from now on."],
  ["use fahrenheit", "US units: °F, inches, fl oz."],
])("%s", async (text, line) => {
  expect((await type(text)).split("\n")[0]).toBe(line);
});

test("a slip is put right in the next sentence", async () => {
  await type("watered the aloes");
  expect(await type("no, that was Tuesday")).toBe(
    "Changed: Aloe, Long House: watered, Tue 12 Jan, 3 days ago.",
  );
  expect(await type("not the aloes, the agaves")).toBe(
    "Changed: Agave, Long House: watered, Tue 12 Jan, 3 days ago.",
  );
  expect(await type("also the gasterias")).toBe(
    "Changed: Agave and Gasteria, Long House: watered, Tue 12 Jan, 3 days ago.",
  );
  expect(await type("when did we last water the gasterias?")).toBe(
    "Gasteria: watered, Tue 12 Jan, 3 days ago by Ines, Long House.",
  );
  expect(await house.list()).toEqual(["Agave @ Long House", "Gasteria @ Long House"]);
});

test("a plant gets its label and its name, and is known by both", async () => {
  expect(await type("repotted C-07 into 12cm clay")).toBe(
    "C-07, Long House: repotted into 12 cm terracotta, today.\nC-07 is new to me: “C-07 is an Aloe polyphylla” would tell.",
  );
  expect(await type("C-07 is a Copiapoa cinerea in the warm bench, we call it Grey")).toBe(
    "C-07: Copiapoa cinerea, called Grey, Warm Bench.",
  );
  expect(await type("watered grey")).toBe("Grey (C-07), Warm Bench: watered, today.");
  expect(await type("C-07 is a Copiapoa hypogaea")).toBe(
    "Changed: C-07: Copiapoa hypogaea, called Grey, Warm Bench.",
  );
  expect(await type("call C-08 Pebble")).toBe("C-08 is new to me: “C-08 is an Aloe polyphylla” would tell.");
  expect(await type("plants:\nC-08, Lithops lesliei, Pebble, Long House\nC-09 Gasteria glomerata")).toBe(
    "C-08: Lithops lesliei, called Pebble, Long House.\nC-09: Gasteria glomerata.",
  );
  expect(await type("bought an Aloe aristata, C-10, from the show")).toMatch(/C-10.*: new here from show/);
  expect(await type("watered C-10")).toMatch(/^C-10 \(.+\), Long House: watered, today\.$/);
});

test("a number that fits nothing changes nothing", async () => {
  await type("gave the haworthias a sip");
  expect(await type("sorry, that was 4.8")).toMatch(/^No entry of yours that this would change/);
});
