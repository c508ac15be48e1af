import type { UserFromGetMe } from "grammy/types";
import type { Clock } from "../../clock.js";
import { Faults, type LimitRules, Limits } from "./faults.js";
import { People } from "./people.js";
import { ApiServer } from "./server.js";
import { restore, type StandInState, snapshot } from "./snapshot.js";
import { Courier } from "./webhook.js";
import { World } from "./world.js";

export interface StandInOptions {
  clock: Clock;
  token?: string;
  /** The bot's name and handle; default Areole, areole. */
  name?: string;
  username?: string;
  /** Group privacy mode; default off: the bot hears everything. */
  privacy?: boolean;
  /** Holds the bot to these limits; default none. */
  limits?: LimitRules;
  /** How many sent calls and how many messages per chat are remembered. */
  keepSent?: number;
  keepMessages?: number;
  state?: StandInState;
}

/** A stand-in of the public Bot API on loopback, with the people's side of it in the same process. */
export interface StandIn {
  /** Root for the bot's client, "http://127.0.0.1:PORT". */
  url: string;
  token: string;
  world: World;
  people: People;
  faults: Faults;
  courier: Courier;
  /** Null without `limits`. */
  limits: Limits | null;
  /** Nothing fetched is unconfirmed, and no call is being dealt with. */
  idle(): boolean;
  snapshot(): StandInState;
  close(): Promise<void>;
}

export async function startStandIn(options: StandInOptions): Promise<StandIn> {
  const token = options.token ?? "700000001:stand-in";
  const milliseconds = () => options.clock.now().epochMilliseconds;
  const world = new World(botUser(options), milliseconds);
  if (options.keepSent !== undefined) world.keepSent = options.keepSent;
  if (options.keepMessages !== undefined) world.keepMessages = options.keepMessages;
  if (options.state) restore(world, options.state);
  const faults = new Faults();
  const limits = options.limits ? new Limits(options.limits, milliseconds) : null;
  const server = new ApiServer(world, token, faults, limits);
  const courier = new Courier(world);
  return {
    url: await server.listen(),
    token,
    world,
    people: new People(world),
    faults,
    courier,
    limits,
    idle: () => world.updates.pending === 0 && server.inFlight === 0 && courier.underWay === 0,
    snapshot: () => snapshot(world),
    close: () => {
      courier.close();
      return server.close();
    },
  };
}

function botUser(options: StandInOptions): UserFromGetMe {
  return {
    id: 700_000_001,
    is_bot: true,
    first_name: options.name ?? "Areole",
    username: options.username ?? "areole",
    can_join_groups: true,
    can_read_all_group_messages: !(options.privacy ?? false),
    supports_inline_queries: false,
    can_connect_to_business: false,
    has_main_web_app: false,
  } as UserFromGetMe;
}
