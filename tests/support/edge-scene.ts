import type { IncomingMessage } from "../../bot/messenger/desk.js";
import { type EdgeWorld, openEdge } from "./stand-in-edge.js";

/** The edge with a group of two people, Ines its administrator, in which the bot is not yet. */
export interface EdgeScene {
  world: EdgeWorld;
  ines: number;
  tomasz: number;
  group: number;
  /** Adds the bot to the group; what it then says, a line a message. */
  joined(as?: "member" | "administrator"): Promise<string>;
  /** Lets somebody, Ines unless told, write in the group; the message's number. */
  say: (text: string, options?: object, user?: number) => number;
  /** The message that the desk was handed last. */
  last(): IncomingMessage | undefined;
}

export async function openScene(options: Parameters<typeof openEdge>[0] = {}): Promise<EdgeScene> {
  const world = await openEdge(options);
  const { people } = world.standIn;
  const ines = people.addUser({ name: "Ines", username: "ines" }).id;
  const tomasz = people.addUser({ name: "Tomasz" }).id;
  const group = people.addGroup({
    title: "Glasshouse",
    members: [ines, tomasz],
    admins: [ines],
    forum: true,
  });
  return {
    world,
    ines,
    tomasz,
    group,
    joined: async (as = "member") => {
      people.addBot(group, ines, as);
      return (await world.settle()).map(({ text }) => text).join("\n");
    },
    say: (text, options = {}, user = ines) => people.say(group, user, text, options),
    last: () => world.desk.messages.at(-1),
  };
}
