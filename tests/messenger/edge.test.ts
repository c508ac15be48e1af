import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { type EdgeScene, openScene } from "../support/edge-scene.js";

let world: EdgeScene["world"];
let ines: EdgeScene["ines"];
let tomasz: EdgeScene["tomasz"];
let group: EdgeScene["group"];
let joined: EdgeScene["joined"];
let say: EdgeScene["say"];
let last: EdgeScene["last"];

async function open(options: Parameters<typeof openScene>[0] = {}): Promise<void> {
  ({ world, ines, tomasz, group, joined, say, last } = await openScene(options));
}

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
