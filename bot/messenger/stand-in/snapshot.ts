import type { Update, User } from "grammy/types";
import { z } from "zod";
import type { KeptChat, World } from "./world.js";

const Status = z.enum(["creator", "administrator", "member", "left", "kicked"]);
const Message = z.looseObject({ id: z.number(), fromId: z.number(), date: z.number(), text: z.string() });
const Chat = z.looseObject({
  id: z.number(),
  kind: z.enum(["private", "group", "supergroup"]),
  members: z.array(z.tuple([z.number(), Status])),
  topics: z.array(z.tuple([z.number(), z.string()])),
  messages: z.array(Message),
});
/** Everything the service must still know after a restart, as plain JSON. */
export const StandInState = z.object({
  users: z.array(z.looseObject({ id: z.number(), first_name: z.string() })),
  chats: z.array(Chat),
  lastSharedId: z.number(),
  lastPress: z.number(),
  nextUpdateId: z.number(),
  updates: z.array(z.looseObject({ update_id: z.number() })),
});
export type StandInState = z.infer<typeof StandInState>;

/** Messages a chat carries over; older ones can no longer be edited or answered. */
const CARRIED = 200;

export function snapshot(world: World): StandInState {
  return {
    users: [...world.users.values()] as unknown as StandInState["users"],
    chats: [...world.chats.values()].map((chat) => ({
      ...chat,
      members: [...chat.members],
      topics: [...chat.topics],
      messages: [...chat.messages.values()].slice(-CARRIED) as unknown as z.infer<typeof Message>[],
    })),
    lastSharedId: world.lastSharedId,
    lastPress: world.lastPress,
    nextUpdateId: world.updates.nextId,
    updates: world.updates.waiting() as unknown as StandInState["updates"],
  };
}

export function restore(world: World, state: StandInState): void {
  for (const user of state.users) world.users.set(user.id, user as unknown as User);
  for (const chat of state.chats)
    world.chats.set(chat.id, {
      ...chat,
      members: new Map(chat.members),
      topics: new Map(chat.topics),
      messages: new Map(chat.messages.map((message) => [message.id, message])),
    } as unknown as KeptChat);
  world.lastSharedId = state.lastSharedId;
  world.lastPress = state.lastPress;
  world.updates.restore(state.updates as unknown as Update[], state.nextUpdateId);
}
