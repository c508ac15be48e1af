import { Api, GrammyError, HttpError } from "grammy";
import { afterEach, beforeEach, describe, expect, test } from "vitest";
import { SettableClock } from "../../bot/clock.js";
import { PUBLISHED_LIMITS } from "../../bot/messenger/stand-in/faults.js";
import { type StandIn, startStandIn } from "../../bot/messenger/stand-in/stand-in.js";
import { START } from "../support/stand-in-memory.js";

let standIn: StandIn;
let api: Api;
let clock: SettableClock;
let ines: number;
let group: number;

beforeEach(async () => {
  clock = new SettableClock(START);
  standIn = await startStandIn({ clock });
  api = new Api(standIn.token, { apiRoot: standIn.url });
  ines = standIn.people.addUser({ name: "Ines" }).id;
  group = standIn.people.addGroup({ title: "Glasshouse", members: [ines], admins: [ines] });
  standIn.people.addBot(group, ines);
});
afterEach(() => standIn.close());

const later = (seconds: number) => clock.set(clock.now().add({ seconds }));
async function refusal(call: Promise<unknown>): Promise<[number, string]> {
  const error = await call.then(
    () => expect.fail("the call went through"),
    (thrown: unknown) => thrown,
  );
  expect(error).toBeInstanceOf(GrammyError);
  const { error_code, description } = error as GrammyError;
  return [error_code, description];
}
const html = (text: string) => api.sendMessage(group, text, { parse_mode: "HTML" });
const keyboard = (data: string) => ({ inline_keyboard: [[{ text: "Undo", callback_data: data }]] });

describe("what the service refuses", () => {
  test.each([
    ["a".repeat(4097), "message is too long"],
    ["", "message text is empty"],
    ["  \n ", "message text is empty"],
    ["&lt;".repeat(4097), "message is too long"],
    ["a < b", 'can\'t parse entities: Unsupported start tag "" at byte offset 2'],
    ["<x>a</x>", 'can\'t parse entities: Unsupported start tag "x" at byte offset 0'],
    ["<b>a", "can't parse entities: Can't find end tag corresponding to start tag \"b\""],
    ["a</b>", "can't parse entities: Unexpected end tag at byte offset 1"],
    ["<b>a</i>", 'can\'t parse entities: Unmatched end tag at byte offset 4, expected "</b>", found "</i>"'],
    ["<b", "can't parse entities: Unclosed start tag at byte offset 0"],
    ["ä <b", "can't parse entities: Unclosed start tag at byte offset 3"],
  ])("refuses %.20j...", async (text, why) => {
    expect(await refusal(html(text))).toEqual([400, `Bad Request: ${why}`]);
  });

  test.each(["<b>min</b> &lt; 4 &amp; damp &unknown; &#176;", "&lt;".repeat(4096), "<i><b>a</b></i>"])(
    "takes %.20j...",
    async (text) => expect((await html(text)).message_id).toBeGreaterThan(0),
  );

  test.each([
    ["ä".repeat(32), null],
    ["ä".repeat(33), "BUTTON_DATA_INVALID"],
    ["", "BUTTON_DATA_INVALID"],
  ])("counts button data in bytes: %j", async (data, why) => {
    const call = api.sendMessage(group, "a", { reply_markup: keyboard(data) });
    if (why === null) expect((await call).message_id).toBeGreaterThan(0);
    else expect(await refusal(call)).toEqual([400, `Bad Request: ${why}`]);
  });

  test("tells a chat it does not know from one that the bot may not speak in", async () => {
    const priya = standIn.people.addUser({ name: "Priya" }).id;
    expect(await refusal(api.sendMessage(4711, "a"))).toEqual([400, "Bad Request: chat not found"]);
    standIn.people.startPrivate(priya);
    standIn.people.block(priya);
    expect(await refusal(api.sendMessage(priya, "a"))).toEqual([
      403,
      "Forbidden: bot was blocked by the user",
    ]);
    standIn.people.removeBot(group, ines);
    expect(await refusal(html("a"))).toEqual([403, "Forbidden: bot was kicked from the supergroup chat"]);
  });

  test("refuses edits of what is not there, not the bot's, or not changed", async () => {
    const { message_id } = await api.sendMessage(group, "a", { reply_markup: keyboard("x") });
    const theirs = standIn.people.say(group, ines, "watered the aloes");
    expect((await refusal(api.editMessageText(group, 99, "b")))[1]).toContain("message to edit not found");
    expect((await refusal(api.editMessageText(group, theirs, "b")))[1]).toContain("message can't be edited");
    const same = api.editMessageText(group, message_id, "a", { reply_markup: keyboard("x") });
    expect((await refusal(same))[1]).toContain("message is not modified");
    await api.editMessageText(group, message_id, "a");
    expect((await refusal(api.editMessageReplyMarkup(group, message_id)))[1]).toContain("is not modified");
  });

  test("refuses a reply to nothing unless told to send it anyway", async () => {
    const reply = (allow: boolean) =>
      api.sendMessage(group, "a", {
        reply_parameters: { message_id: 99, allow_sending_without_reply: allow },
      });
    expect((await refusal(reply(false)))[1]).toContain("message to be replied not found");
    expect((await reply(true)).message_id).toBeGreaterThan(0);
  });

  test("names the new id of an upgraded group", async () => {
    const old = standIn.people.addGroup({ title: "Old", kind: "group", members: [ines] });
    standIn.people.addBot(old, ines);
    const moved = standIn.people.upgrade(old);
    const error = await api.sendMessage(old, "a").catch((thrown: GrammyError) => thrown);
    expect(error).toMatchObject({ error_code: 400, parameters: { migrate_to_chat_id: moved } });
    expect((await api.sendMessage(moved, "a")).chat.id).toBe(moved);
  });

  test("refuses an unknown token and an unknown method", async () => {
    const stranger = new Api("1:wrong", { apiRoot: standIn.url });
    expect(await refusal(stranger.getMe())).toEqual([401, "Unauthorized"]);
    const response = await fetch(`${standIn.url}/bot${standIn.token}/sendPigeon`);
    expect(await response.json()).toEqual({ ok: false, error_code: 404, description: "Not Found" });
  });

  test("holds a press open for 150 seconds and takes one answer", async () => {
    const { message_id } = await api.sendMessage(group, "a", { reply_markup: keyboard("x") });
    const [first, second] = [0, 0].map((button) => standIn.people.press(group, ines, message_id, button));
    await api.answerCallbackQuery(first as string);
    expect((await refusal(api.answerCallbackQuery(first as string)))[1]).toContain("query is too old");
    later(151);
    expect((await refusal(api.answerCallbackQuery(second as string)))[1]).toContain("query is too old");
  });

  test.each(["no such emoji", "🌵"])("refuses the reaction %j", async (emoji) => {
    const id = standIn.people.say(group, ines, "watered the aloes");
    const call = api.setMessageReaction(group, id, [{ type: "emoji", emoji: emoji as "👍" }]);
    expect((await refusal(call))[1]).toContain("REACTION_INVALID");
    expect(await api.setMessageReaction(group, id, [{ type: "emoji", emoji: "👍" }])).toBe(true);
  });

  test("refuses a topic that is not there", async () => {
    const topic = standIn.people.addTopic(group, "Seedlings");
    expect((await api.sendMessage(group, "a", { message_thread_id: topic })).message_thread_id).toBe(topic);
    const lost = api.sendMessage(group, "a", { message_thread_id: topic + 1 });
    expect((await refusal(lost))[1]).toContain("message thread not found");
  });
});

describe("updates", () => {
  const texts = async (offset?: number) =>
    (await api.getUpdates({ ...(offset === undefined ? {} : { offset }), timeout: 0 })).map(
      (update) => update.message?.text,
    );
  beforeEach(async () => {
    const joined = await api.getUpdates({ timeout: 0 });
    await api.getUpdates({ offset: (joined.at(-1)?.update_id ?? 0) + 1, timeout: 0 });
  });

  test("gives them again until a higher offset confirms them", async () => {
    standIn.people.say(group, ines, "one");
    standIn.people.say(group, ines, "two");
    const [first] = await api.getUpdates({ limit: 1, timeout: 0 });
    expect(first?.message?.text).toBe("one");
    expect(await texts()).toEqual(["one", "two"]);
    expect(await texts((first?.update_id ?? 0) + 1)).toEqual(["two"]);
    expect(await texts()).toEqual(["two"]);
    expect(standIn.world.updates.pending).toBe(1);
  });

  test("answers a waiting poll as soon as something is said", async () => {
    const poll = api.getUpdates({ timeout: 30 });
    while (!standIn.world.updates.polled) await new Promise((resolve) => setTimeout(resolve, 1));
    standIn.people.say(group, ines, "now");
    expect((await poll)[0]?.message?.text).toBe("now");
  });

  test("ends the first of two pollers with 409", async () => {
    const first = refusal(api.getUpdates({ timeout: 30 }));
    while (!standIn.world.updates.polled) await new Promise((resolve) => setTimeout(resolve, 1));
    await api.getUpdates({ timeout: 0 });
    expect((await first)[0]).toBe(409);
  });

  test("refuses polling while a webhook is set", async () => {
    await api.setWebhook("https://bot.example/hook");
    expect((await refusal(api.getUpdates({ timeout: 0 })))[0]).toBe(409);
    await api.deleteWebhook();
    expect(await texts()).toEqual([]);
  });

  test("forgets presses after 150 seconds and messages after a day", async () => {
    const { message_id } = await api.sendMessage(group, "a", { reply_markup: keyboard("x") });
    standIn.people.say(group, ines, "one");
    standIn.people.press(group, ines, message_id, "Undo");
    expect((await api.getUpdates({ timeout: 0 })).length).toBe(2);
    later(151);
    expect(await texts()).toEqual(["one"]);
    later(86_400);
    expect(await texts()).toEqual([]);
  });

  test("keeps plain talk from the bot under privacy mode", async () => {
    Object.assign(standIn.world.bot, { can_read_all_group_messages: false });
    const { message_id } = await api.sendMessage(group, "a");
    standIn.people.say(group, ines, "watered the aloes");
    standIn.people.say(group, ines, "@areole what is due?");
    standIn.people.say(group, ines, "yes", { replyTo: message_id });
    standIn.people.say(group, ines, "/due@areole");
    standIn.people.say(group, ines, "/due@another_bot");
    expect(await texts()).toEqual(["yes", "/due@areole"]);
    standIn.people.promoteBot(group, ines);
    standIn.people.say(group, ines, "watered the gasterias");
    expect((await texts()).at(-1)).toBe("watered the gasterias");
  });
});

describe("faults and limits", () => {
  test("asks to wait, breaks, and drops a connection before or after the call took effect", async () => {
    standIn.faults.plan({ kind: "retry_after", seconds: 7, method: "sendMessage" });
    standIn.faults.plan({ kind: "status", code: 502, description: "Bad Gateway", method: "sendMessage" });
    standIn.faults.plan({ kind: "drop", when: "before", method: "sendMessage" });
    standIn.faults.plan({ kind: "drop", when: "after", method: "sendMessage" });
    const errors: unknown[] = [];
    for (let call = 0; call < 4; call++) await html(`${call}`).catch((error: unknown) => errors.push(error));
    expect(errors[0]).toMatchObject({ error_code: 429, parameters: { retry_after: 7 } });
    expect(errors[1]).toMatchObject({ error_code: 502 });
    expect(errors[2]).toBeInstanceOf(HttpError);
    expect(errors[3]).toBeInstanceOf(HttpError);
    expect(standIn.world.sent.map(({ text }) => text)).toEqual(["3"]);
    expect(standIn.world.counts.get("sendMessage")).toBe(4);
  });

  test("holds the bot to one message a second in a chat and twenty a minute in a group", async () => {
    await standIn.close();
    standIn = await startStandIn({ clock, limits: PUBLISHED_LIMITS });
    api = new Api(standIn.token, { apiRoot: standIn.url });
    standIn.people.addUser({ name: "Ines", id: ines });
    group = standIn.people.addGroup({ title: "Glasshouse", members: [ines] });
    standIn.people.addBot(group, ines);
    for (let message = 0; message < 20; message++) {
      await html(`${message}`);
      if (message === 0) expect(await refusal(html("too soon"))).toMatchObject([429, /retry after 1$/]);
      later(1);
    }
    const error = await html("one more").catch((thrown: GrammyError) => thrown);
    expect(error).toMatchObject({ error_code: 429, parameters: { retry_after: 40 } });
    expect(standIn.limits?.violations).toBe(2);
  });

  test("knows 20,000 chats", async () => {
    for (let number = 0; number < 20_000; number++)
      standIn.people.addBot(standIn.people.addGroup({ title: `Bench ${number}`, members: [ines] }), ines);
    const last = [...standIn.world.chats.keys()].at(-1) as number;
    expect((await api.sendMessage(last, "a")).chat.id).toBe(last);
    expect(await api.getChatMemberCount(last)).toBe(2);
    const page = await api.getUpdates({ limit: 100, timeout: 0 });
    expect(page).toHaveLength(100);
    expect(standIn.world.updates.pending).toBeGreaterThan(40_000);
  });
});

test("carries people, chats and numbering over a restart", async () => {
  const said = standIn.people.say(group, ines, "watered the aloes");
  const before = await api.sendMessage(group, "a");
  const again = await startStandIn({ clock, state: JSON.parse(JSON.stringify(standIn.snapshot())) });
  const next = new Api(again.token, { apiRoot: again.url });
  const pending = await next.getUpdates({ timeout: 0 });
  expect(pending.at(-1)?.message?.message_id).toBe(said);
  expect(again.people.say(group, ines, "and the gasterias")).toBe(before.message_id + 1);
  expect((await next.editMessageText(group, before.message_id, "b")).toString()).toBeTruthy();
  await again.close();
});
