import { afterEach, beforeEach, describe, expect, test } from "vitest";
import type { Outgoing } from "../../bot/journal/ports.js";
import { type EdgeScene, openScene } from "../support/edge-scene.js";

let world: EdgeScene["world"];
let ines: EdgeScene["ines"];
let group: EdgeScene["group"];
let joined: EdgeScene["joined"];
let say: EdgeScene["say"];

beforeEach(async () => {
  ({ world, ines, group, joined, say } = await openScene());
});
afterEach(() => world.close());

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
