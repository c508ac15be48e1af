import { pino } from "pino";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { Outgoing } from "../../bot/journal/ports.js";
import { createBotEdge } from "../../bot/messenger/edge.js";
import { MessengerError } from "../../bot/messenger/errors.js";
import { type EdgeWorld, openEdge } from "../support/stand-in-edge.js";

let world: EdgeWorld;
let ines: number;
let tomasz: number;
let group: number;

async function open(options: Parameters<typeof openEdge>[0] = {}): Promise<void> {
  world = await openEdge(options);
  const { people } = world.standIn;
  ines = people.addUser({ name: "Ines", username: "ines" }).id;
  tomasz = people.addUser({ name: "Tomasz" }).id;
  group = people.addGroup({ title: "Glasshouse", members: [ines, tomasz], admins: [ines], forum: true });
}
async function joined(as: "member" | "administrator" = "member"): Promise<string> {
  world.standIn.people.addBot(group, ines, as);
  return (await world.settle()).map(({ text }) => text).join("\n");
}
const say = (text: string, options = {}, user = ines) => world.standIn.people.say(group, user, text, options);
const last = () => world.desk.messages.at(-1);

beforeEach(() => open());
afterEach(() => world.close());

describe("a message on its way in", () => {
  beforeEach(async () => {
    await joined();
  });

  test.each([
    ["watered the aloes", "watered the aloes", false],
    ["@areole what is due?", "what is due?", true],
    ["@Areole, what is due?", "what is due?", true],
    ["what is due, @areole?", "what is due?", true],
    ["does @areole know gasterias", "does know gasterias", true],
    ["areole: what is due", "what is due", true],
    ["Hey Areole, what is due", "what is due", true],
    ["areole undo", "undo", true],
    ["areoles are woolly", "areoles are woolly", false],
    ["the areoles look woolly, areole by areole", "the areoles look woolly, areole by areole", false],
    ["@areole", "", true],
    ["ask @areolensis about it", "ask @areolensis about it", false],
    ["/due", "what is due today?", true],
    ["/due@areole this weekend", "what is due this weekend?", true],
    ["/UNDO@AREOLE", "undo", true],
    ["write /undo to take it back", "write /undo to take it back", false],
    ["1 < 2 & <b>3</b>", "1 < 2 & <b>3</b>", false],
    [" ".repeat(4000).concat("@areole"), "", true],
  ])("reads %.40j", async (typed, text, addressed) => {
    say(typed);
    await world.settle();
    expect(last()).toMatchObject({ text, addressed, rawText: typed, isPrivate: false, edited: false });
  });

  test.each(["/due@another_bot", "/unknown", "/unknown aloes"])("leaves %j to others", async (typed) => {
    say(typed);
    expect(await world.settle()).toEqual([]);
    expect(world.desk.messages).toEqual([]);
  });

  test("carries the author, the time and the message answered", async () => {
    say("watered the aloes");
    const [echo] = await world.settle();
    const id = say("no, the gasterias", { replyTo: echo?.messageId ?? 0 }, tomasz);
    await world.settle();
    expect(last()).toMatchObject({
      chatId: group,
      chatKind: "supergroup",
      chatTitle: "Glasshouse",
      messageId: id,
      author: { userId: tomasz, name: "Tomasz" },
      addressed: true,
      replyTo: { messageId: echo?.messageId, fromBot: true, text: "heard: watered the aloes" },
      threadId: null,
      location: null,
    });
    expect(last()?.at.toString()).toBe("2027-01-15T08:00:00Z");
  });

  test("hands on an edit as such", async () => {
    const id = say("watered the aloes");
    await world.settle();
    say("watered the gasterias", { edit: id });
    await world.settle();
    expect(last()).toMatchObject({ edited: true, messageId: id, text: "watered the gasterias" });
  });

  test("takes a caption for text, and a position for a position", async () => {
    say("@areole mealies on the echeverias", { picture: true });
    await world.settle();
    expect(last()).toMatchObject({ text: "mealies on the echeverias", addressed: true });
    say("", { location: { latitude: 54.35, longitude: 18.65 } });
    await world.settle();
    expect(last()).toMatchObject({ text: "", location: { latitude: 54.35, longitude: 18.65 } });
  });

  test("answers in the topic it was spoken to in", async () => {
    const topic = world.standIn.people.addTopic(group, "Seedlings");
    world.desk.answer = (message) => ({
      text: "a",
      ...(message.threadId ? { threadId: message.threadId } : {}),
    });
    say("12 of 40 up", { thread: topic });
    expect(await world.settle()).toMatchObject([{ text: "a", threadId: topic }]);
    expect(last()).toMatchObject({ threadId: topic, replyTo: null, addressed: false });
  });

  test("ignores other bots, and what others wrote elsewhere", async () => {
    const bot = world.standIn.people.addUser({ name: "Weather", isBot: true }).id;
    world.standIn.people.setMember(group, bot, "member");
    say("min 4 last night", {}, bot);
    say("watered the aloes", { forwarded: true });
    expect(await world.settle()).toEqual([]);
    expect(world.desk.messages).toEqual([]);
  });

  test("takes an administrator who hides behind the group for one", async () => {
    say("set the floor to 6", { anonymous: true });
    await world.settle();
    expect(last()?.author).toMatchObject({ userId: null, name: "an administrator" });
    expect(await last()?.author.settingsRight()).toBe("yes");
  });

  test("survives what no database takes", async () => {
    say("a\u0000b \ud800 c");
    await world.settle();
    expect(last()?.text).toBe("a\ufffdb \ufffd c");
  });

  test("learns a new name of the group", async () => {
    world.standIn.people.rename(group, ines, "Long House");
    await world.settle();
    expect(world.store.chats.get(group)?.title).toBe("Long House");
    expect(world.desk.messages).toEqual([]);
  });

  test("hands on a press and closes it with the notice", async () => {
    world.desk.answer = () => ({ text: "Aloe: watered", buttons: [[{ label: "Undo", data: "undo:1" }]] });
    say("watered the aloes");
    const [reply] = await world.settle();
    const press = world.standIn.people.press(group, tomasz, reply?.messageId ?? 0, "Undo");
    expect(await world.settle()).toMatchObject([{ notice: true, text: "pressed undo:1" }]);
    expect(world.standIn.world.presses.get(press)?.answered).toBe(true);
    expect(world.desk.presses).toMatchObject([
      { chatId: group, messageId: reply?.messageId, messageText: "Aloe: watered", data: "undo:1" },
    ]);
    expect(world.desk.presses[0]?.author).toMatchObject({ userId: tomasz, name: "Tomasz" });
  });

  test("follows a group that becomes a supergroup", async () => {
    const old = world.standIn.people.addGroup({ title: "Old", kind: "group", members: [ines] });
    world.standIn.people.addBot(old, ines);
    world.standIn.people.say(old, ines, "before");
    await world.settle();
    const next = world.standIn.people.upgrade(old);
    world.standIn.people.say(next, ines, "after");
    await world.settle();
    expect(world.store.migrations).toContainEqual([old, next]);
    expect(world.desk.messages.map(({ chatId, text }) => [chatId, text])).toEqual([
      [old, "before"],
      [next, "after"],
    ]);
    expect(world.desk.joins.map(({ chatId }) => chatId)).toEqual([group, old]);
  });
});

describe("coming and going", () => {
  test("greets a group in three short lines and asks where the glasshouse is", async () => {
    const lines = (await joined()).split("\n");
    expect(lines).toHaveLength(3);
    expect(lines[2]).toContain("where is the glasshouse");
    expect(world.desk.joins).toMatchObject([
      { chatId: group, first: true, hearsAll: true, askedFor: "location" },
    ]);
    expect(world.store.chats.get(group)?.welcomedAt?.toString()).toBe("2027-01-15T08:00:00Z");
  });

  test("asks nothing when the place is known, and is short when it comes back", async () => {
    world.store.household = { zone: "Europe/Warsaw", latitude: 54.4 };
    expect(await joined()).not.toContain("where is the glasshouse");
    world.standIn.people.removeBot(group, tomasz);
    await world.settle();
    expect(world.store.chats.get(group)?.active).toBe(false);
    expect(world.desk.leaves).toMatchObject([{ chatId: group }]);
    expect(await joined()).toBe("Areole is here again. The journal is as it was.");
    expect(world.store.chats.get(group)?.active).toBe(true);
  });

  test("greets a private chat at its start, and takes it up again after a block", async () => {
    world.standIn.people.startPrivate(ines);
    const [hello] = await world.settle();
    expect(hello).toMatchObject({ chatId: ines });
    expect(hello?.text.split("\n")).toHaveLength(3);
    world.standIn.people.say(ines, ines, "watered the aloes");
    await world.settle();
    expect(last()).toMatchObject({ isPrivate: true, addressed: true, chatKind: "private" });
    world.standIn.people.block(ines);
    await world.settle();
    expect(world.store.chats.get(ines)?.active).toBe(false);
    world.standIn.people.startPrivate(ines);
    await world.settle();
    expect(world.store.chats.get(ines)?.active).toBe(true);
  });

  test("under privacy mode says once what to change, and notes when it is changed", async () => {
    await world.close();
    await open({ privacy: true });
    expect((await joined()).split("\n")[3]).toContain("Make me an administrator");
    say("/due@areole");
    expect((await world.settle()).map(({ text }) => text)).toEqual(["heard: what is due today?"]);
    world.standIn.people.promoteBot(group, ines);
    expect((await world.settle()).map(({ text }) => text)).toEqual(["Plain sentences reach me here now."]);
    expect(world.store.chats.get(group)?.hearsAll).toBe(true);
    say("watered the aloes");
    expect((await world.settle()).map(({ text }) => text)).toEqual(["heard: watered the aloes"]);
  });

  test("tells a group once that was joined before privacy mode was looked at", async () => {
    await world.close();
    await open({ privacy: true });
    await joined();
    Object.assign(world.store.chats.get(group) ?? {}, { state: {}, hearsAll: null });
    say("/due@areole");
    expect(await world.settle()).toHaveLength(2);
    say("/due@areole");
    expect(await world.settle()).toHaveLength(1);
  });

  test("offers its commands in groups and in private chats", async () => {
    await world.settle();
    for (const scope of ["all_private_chats", "all_group_chats"])
      expect(world.standIn.world.commands.get(scope)).toContainEqual({
        command: "due",
        description: "What is due",
      });
  });
});

describe("who may change settings", () => {
  const right = async (user: number) => {
    say("set the floor to 6", {}, user);
    await world.settle();
    return last()?.author.settingsRight();
  };

  test("everybody in a handful", async () => {
    await joined();
    expect(await right(tomasz)).toBe("yes");
  });

  test("administrators in a larger group, and new ones after a fresh look", async () => {
    for (let member = 0; member < 6; member++)
      world.standIn.people.setMember(
        group,
        world.standIn.people.addUser({ name: `M${member}` }).id,
        "member",
      );
    await joined();
    expect(world.store.chats.get(group)?.memberCount).toBe(9);
    expect(await right(ines)).toBe("yes");
    world.standIn.people.setMember(group, tomasz, "administrator");
    world.clock.set(world.clock.now().add({ seconds: 60 }));
    expect(await right(tomasz)).toBe("no");
    await world.settle();
    expect(await right(tomasz)).toBe("yes");
  });

  test("is unknown while the messenger has not told", async () => {
    world.standIn.faults.plan({
      kind: "status",
      code: 500,
      description: "Internal Server Error",
      method: "getChatMemberCount",
      times: 50,
    });
    await joined();
    say("set the floor to 6", {}, tomasz);
    await world.settle();
    world.standIn.faults.clear();
    expect(await last()?.author.settingsRight()).toBe("unknown");
    await world.settle();
    expect(await right(tomasz)).toBe("yes");
  });
});

describe("a message on its way out", () => {
  const send = (message: Partial<Outgoing>) => world.edge.send({ chatId: group, text: "", ...message });
  const shown = () => world.standIn.world.sent.at(-1);
  beforeEach(async () => {
    await joined();
  });

  test.each(["min < 4 & > 3", "<b>bold</b>", "a &lt; b", "Köhler’s “Lithops” 🌱", "</i>"])(
    "arrives as written: %j",
    async (text) => {
      expect(await send({ text })).toMatchObject({ kind: "sent" });
      expect(shown()?.text).toBe(text);
    },
  );

  test("arrives silently, as an answer, with its buttons", async () => {
    const id = say("watered the aloes");
    await send({ text: "a", silent: true, replyTo: id, buttons: [[{ label: "Undo", data: "u" }], []] });
    expect(shown()).toMatchObject({
      silent: true,
      replyTo: id,
      buttons: [[{ text: "Undo", callback_data: "u" }]],
    });
    expect(await send({ text: "a", replyTo: 9_999 })).toMatchObject({ kind: "sent" });
  });

  test("goes as a file with its beginning below when it is too long for a message", async () => {
    const text = "Lithops: dry until spring.\n".repeat(200);
    expect(await send({ text })).toMatchObject({ kind: "sent" });
    expect(shown()).toMatchObject({ method: "sendDocument", file: { name: "answer.txt" } });
    expect(Buffer.from(shown()?.file?.bytes ?? []).toString("utf8")).toBe(text);
    expect(shown()?.text.length).toBeLessThanOrEqual(1024);
    expect(await send({ text: "a".repeat(4096) })).toMatchObject({ kind: "sent" });
    expect(shown()?.method).toBe("sendMessage");
  });

  test("keeps its words when a button is unusable", async () => {
    const buttons = [
      [
        { label: "Long", data: "ä".repeat(33) },
        { label: "Undo", data: "u" },
      ],
    ];
    expect(await send({ text: "a", buttons })).toMatchObject({ kind: "sent" });
    expect(shown()?.buttons.flat()).toHaveLength(1);
  });

  test("changes a message; the same change again counts as done", async () => {
    const sent = await send({ text: "a", buttons: [[{ label: "Undo", data: "u" }]] });
    const edit = sent.kind === "sent" ? (sent.messageId ?? 0) : 0;
    expect(await send({ text: "b < c", edit })).toEqual({ kind: "sent", messageId: edit });
    expect(shown()).toMatchObject({ method: "editMessageText", text: "b < c", buttons: [] });
    expect(await send({ text: "b < c", edit })).toMatchObject({ kind: "sent" });
    expect(await send({ text: "c", edit: 9_999 })).toMatchObject({ kind: "refused" });
  });

  test("reacts, and lets it be where the chat does not allow it", async () => {
    const id = say("watered the aloes");
    expect(await send({ reaction: { messageId: id, emoji: "👍" } })).toEqual({
      kind: "sent",
      messageId: null,
    });
    expect(shown()?.reaction).toEqual({ emoji: "👍" });
    (world.standIn.world.chats.get(group) ?? { reactions: null }).reactions = ["❤"];
    expect(await send({ reaction: { messageId: id, emoji: "👍" } })).toMatchObject({ kind: "refused" });
  });

  test("carries pictures as pictures and other files as files", async () => {
    const base64 = Buffer.from("not really a picture").toString("base64");
    await send({ file: { name: "nights.png", mime: "image/png", base64, caption: "min < 5" } });
    expect(shown()).toMatchObject({ method: "sendPhoto", text: "min < 5", file: { name: "nights.png" } });
    await send({ text: "The journal.", file: { name: "journal.csv", mime: "text/csv", base64 } });
    expect(shown()).toMatchObject({
      method: "sendDocument",
      text: "The journal.",
      file: { name: "journal.csv" },
    });
    expect(Buffer.from(shown()?.file?.bytes ?? []).toString()).toBe("not really a picture");
  });

  test("closes a press once; a late answer is given up", async () => {
    await send({ text: "a", buttons: [[{ label: "Undo", data: "u" }]] });
    const id = world.standIn.people.press(group, ines, shown()?.messageId ?? 0, "Undo");
    expect(await send({ callbackId: id, text: "n".repeat(300) })).toMatchObject({ kind: "sent" });
    expect(shown()?.text).toHaveLength(200);
    expect(await send({ callbackId: id })).toMatchObject({ kind: "refused" });
  });

  test.each([
    [
      { kind: "retry_after", seconds: 17 },
      { kind: "later", afterSeconds: 17 },
    ],
    [
      { kind: "status", code: 500, description: "Internal Server Error" },
      { kind: "later", afterSeconds: 2 },
    ],
    [{ kind: "status", code: 403, description: "Forbidden: bot was kicked" }, { kind: "gone" }],
    [
      { kind: "status", code: 400, description: "Bad Request: no" },
      { kind: "refused", reason: "Bad Request: no" },
    ],
    [
      { kind: "drop", when: "before" },
      { kind: "later", afterSeconds: 2 },
    ],
    [
      { kind: "drop", when: "after" },
      { kind: "later", afterSeconds: 2 },
    ],
  ] as const)("says what came of %j", async (fault, delivery) => {
    world.standIn.faults.plan({ ...fault, method: "sendMessage" });
    expect(await send({ text: "a" })).toMatchObject(delivery);
    expect(await send({ text: "b" })).toMatchObject({ kind: "sent" });
  });

  test("says where a group has moved", async () => {
    const old = world.standIn.people.addGroup({ title: "Old", kind: "group", members: [ines] });
    world.standIn.people.addBot(old, ines);
    const chatId = world.standIn.people.upgrade(old);
    expect(await send({ chatId: old, text: "a" })).toEqual({ kind: "moved", chatId });
  });
});

describe("polling", () => {
  test("asks for the next offset only after the updates are stored", async () => {
    await joined();
    let refuse = true;
    world.store.failing = () => refuse;
    say("watered the aloes");
    await new Promise((resolve) => setTimeout(resolve, 60));
    expect(world.standIn.world.updates.pending).toBe(1);
    refuse = false;
    await world.settle();
    expect(last()?.text).toBe("watered the aloes");
  });

  test("waits as told, and goes on after the service was away", async () => {
    await joined();
    world.standIn.faults.plan({ kind: "retry_after", seconds: 1, method: "getUpdates" });
    world.standIn.faults.plan({
      kind: "status",
      code: 502,
      description: "Bad Gateway",
      method: "getUpdates",
    });
    say("watered the aloes");
    say("watered the gasterias");
    await world.settle();
    expect(world.desk.messages).toHaveLength(2);
    expect(world.edge.healthy()).toBe(true);
  });

  test("passes over the one update that the store never takes", { timeout: 20_000 }, async () => {
    await joined();
    let failures = 0;
    world.store.failing = (update) => {
      const poison = JSON.stringify(update.body).includes("poison");
      if (poison) failures += 1;
      return poison;
    };
    say("poison");
    say("watered the aloes");
    await world.settle();
    expect(world.desk.messages.map(({ text }) => text)).toEqual(["watered the aloes"]);
    expect(failures).toBe(5);
  });

  test("loses nothing while the store is away", { timeout: 20_000 }, async () => {
    await joined();
    let away = true;
    world.store.failing = () => away;
    world.store.backlog = () => Promise.reject(new Error("the store is away"));
    say("watered the aloes");
    await new Promise((resolve) => setTimeout(resolve, 8_000));
    expect(world.standIn.world.updates.pending).toBe(1);
    away = false;
    await world.settle();
    expect(world.desk.messages.map(({ text }) => text)).toEqual(["watered the aloes"]);
  });

  test("handles an update once that the service gives twice", async () => {
    await joined();
    say("watered the aloes");
    await world.settle();
    await world.store.receive(world.store.stored);
    await world.settle();
    expect(world.desk.messages).toHaveLength(1);
  });

  test("stops at once in the middle of a poll and confirms what is stored", async () => {
    await joined();
    say("watered the aloes");
    await world.settle();
    await world.edge.stop();
    expect(world.standIn.world.updates.polled).toBe(false);
    expect(world.standIn.world.updates.pending).toBe(0);
    say("watered the gasterias");
    expect(world.standIn.world.updates.pending).toBe(1);
  });

  test("names the variable when the token is refused", async () => {
    const options = {
      inbox: world.store,
      households: world.store,
      desk: world.desk,
      clock: world.clock,
      zone: "UTC",
    };
    const log = pino({ level: "silent" });
    const call = createBotEdge({ ...options, log, token: "1234567:wrong", apiRoot: world.standIn.url });
    await expect(call).rejects.toThrow(MessengerError);
    await expect(call).rejects.toThrow(/BOT_TOKEN/);
  });
});

test("what the desk throws reaches the inbox, which tries again", async () => {
  await joined();
  world.desk.message = async () => {
    throw new Error("the desk broke");
  };
  say("watered the aloes");
  await expect(world.settle()).rejects.toThrow("the desk broke");
});
