import type { Message, Update, User } from "grammy/types";
import { memberObject } from "./methods-chats.js";
import { entitiesOf, type KeptChat, type KeptMessage, type MemberStatus, type World } from "./world.js";

export interface NewUser {
  name: string;
  id?: number;
  lastName?: string;
  username?: string;
  isBot?: boolean;
}
export interface NewGroup {
  title: string;
  id?: number;
  kind?: "group" | "supergroup";
  members: number[];
  /** Among the members; the first is the creator. */
  admins?: number[];
  forum?: boolean;
  /** Emoji allowed as reactions; default all. */
  reactions?: string[];
}
export interface SayOptions {
  replyTo?: number;
  thread?: number;
  /** Rewrites this message of the same person. */
  edit?: number;
  forwarded?: boolean;
  /** Written as an administrator who hides behind the group. */
  anonymous?: boolean;
  /** A picture with `text` as its caption. */
  picture?: boolean;
  location?: { latitude: number; longitude: number };
}

/** What people do in the chats: the side of the service that the bot does not see. */
export class People {
  #nextUser: number;
  #nextGroup: number;

  constructor(private readonly world: World) {
    this.#nextUser = Math.max(1000, ...world.users.keys()) + 1;
    this.#nextGroup = 2001 + world.chats.size;
  }

  addUser(user: NewUser): User {
    const id = user.id ?? this.#nextUser++;
    const made: User = {
      id,
      is_bot: user.isBot ?? false,
      first_name: user.name,
      ...(user.lastName ? { last_name: user.lastName } : {}),
      ...(user.username ? { username: user.username } : {}),
    };
    this.world.users.set(id, made);
    return made;
  }

  /** A private chat; it exists for the bot once the person has pressed start, which sends "/start". */
  startPrivate(userId: number): void {
    const chat = this.world.chats.get(userId) ?? this.#addChat(userId, "private", "");
    const before = chat.bot;
    chat.bot = "member";
    if (before === "kicked") this.#botStatus(chat, userId, before);
    this.say(userId, userId, "/start");
  }

  /** A group without the bot; its id. */
  addGroup(group: NewGroup): number {
    const kind = group.kind ?? "supergroup";
    const number = this.#nextGroup++;
    const id = group.id ?? (kind === "group" ? -number : -1_000_000_000_000 - number);
    const chat = this.#addChat(id, kind, group.title);
    chat.forum = group.forum ?? false;
    chat.reactions = group.reactions ?? null;
    for (const member of group.members) chat.members.set(member, "member");
    for (const [index, admin] of (group.admins ?? []).entries())
      chat.members.set(admin, index === 0 ? "creator" : "administrator");
    return id;
  }

  addBot(chatId: number, byUserId: number, as: "member" | "administrator" = "member"): void {
    const chat = this.world.knownChat(chatId);
    const before = chat.bot;
    chat.bot = as;
    this.#botStatus(chat, byUserId, before);
    this.#service(chat, byUserId, { new_chat_members: [this.world.bot] });
  }
  removeBot(chatId: number, byUserId: number): void {
    const chat = this.world.knownChat(chatId);
    const before = chat.bot;
    chat.bot = "kicked";
    this.#botStatus(chat, byUserId, before);
  }
  /** Makes the bot an administrator, or a plain member again. */
  promoteBot(chatId: number, byUserId: number, as: "member" | "administrator" = "administrator"): void {
    const chat = this.world.knownChat(chatId);
    const before = chat.bot;
    chat.bot = as;
    this.#botStatus(chat, byUserId, before);
  }
  block(userId: number): void {
    const chat = this.world.knownChat(userId);
    const before = chat.bot;
    chat.bot = "kicked";
    this.#botStatus(chat, userId, before);
  }

  setMember(chatId: number, userId: number, status: MemberStatus): void {
    const chat = this.world.knownChat(chatId);
    const before = chat.members.get(userId) ?? "left";
    chat.members.set(userId, status);
    // Other members' changes reach only a bot that is an administrator.
    if (chat.bot === "administrator")
      this.world.updates.push({
        chat_member: this.#change(chat, userId, userId, before, status),
      } as Partial<Update>);
    if (before === "left" && status === "member")
      this.#service(chat, userId, { new_chat_members: [this.world.user(userId)] });
    if (status === "left" || status === "kicked")
      this.#service(chat, userId, { left_chat_member: this.world.user(userId) });
  }

  addTopic(chatId: number, name: string): number {
    const chat = this.world.knownChat(chatId);
    const id = ++chat.lastId;
    chat.topics.set(id, name);
    return id;
  }
  rename(chatId: number, byUserId: number, title: string): void {
    const chat = this.world.knownChat(chatId);
    chat.title = title;
    this.#service(chat, byUserId, { new_chat_title: title });
  }

  /** @returns the new chat id */
  upgrade(chatId: number): number {
    const chat = this.world.knownChat(chatId);
    const newId = -1_000_000_000_000 + chatId;
    const next = this.#addChat(newId, "supergroup", chat.title);
    Object.assign(next, { members: chat.members, bot: chat.bot, lastId: 1 });
    const by = chat.members.keys().next().value as number;
    this.#service(chat, by, { migrate_to_chat_id: newId });
    this.#service(next, by, { migrate_from_chat_id: chatId });
    chat.movedTo = newId;
    return newId;
  }

  /** Writes or rewrites a message. @returns its id, whether or not it reaches the bot */
  say(chatId: number, userId: number, text: string, options: SayOptions = {}): number {
    const chat = this.world.knownChat(chatId);
    const earlier = options.edit === undefined ? undefined : chat.messages.get(options.edit);
    if (options.edit !== undefined && earlier?.fromId !== userId)
      throw new Error("only an own message can be rewritten");
    const kept = earlier ?? this.world.keep(chat, this.#written(userId, text, options));
    if (earlier) Object.assign(earlier, { text, source: text });
    const message = this.#shown(chat, kept, options);
    if (this.#reaches(chat, kept))
      this.world.updates.push(
        earlier
          ? { edited_message: { ...message, edit_date: this.world.seconds() } as Update["edited_message"] }
          : { message: message as Update["message"] },
      );
    chat.botSpokeLast = false;
    return kept.id;
  }

  /** Presses a button by its label or its place (counted from 0). @returns the press's id */
  press(chatId: number, userId: number, messageId: number, button: string | number): string {
    const chat = this.world.knownChat(chatId);
    const message = chat.messages.get(messageId);
    const buttons = message?.buttons.flat() ?? [];
    const found =
      typeof button === "number" ? buttons[button] : buttons.find((candidate) => candidate.text === button);
    if (!message || !found) throw new Error(`message ${messageId} has no button ${button}`);
    return this.pressData(chatId, userId, messageId, found.callback_data ?? "");
  }
  /** A press as a client could forge it, or of a button that has changed since. */
  pressData(chatId: number, userId: number, messageId: number, data: string): string {
    const chat = this.world.knownChat(chatId);
    const kept = chat.messages.get(messageId);
    const id = `press-${this.world.bot.id}-${++this.world.lastPress}`;
    this.world.presses.set(id, { at: this.world.seconds(), answered: false });
    const message = kept
      ? this.world.messageObject(chat, kept)
      : { message_id: messageId, chat: this.world.chatObject(chat), date: 0 };
    this.world.updates.push({
      callback_query: { id, from: this.world.user(userId), chat_instance: `${chatId}`, data, message },
    } as Partial<Update>);
    return id;
  }

  #written(userId: number, text: string, options: SayOptions): Omit<KeptMessage, "id"> {
    return {
      fromId: userId,
      date: this.world.seconds(),
      text,
      source: text,
      buttons: [],
      ...(options.thread === undefined ? {} : { threadId: options.thread }),
      ...(options.replyTo === undefined ? {} : { replyTo: options.replyTo }),
    };
  }

  #shown(chat: KeptChat, kept: KeptMessage, options: SayOptions): Message {
    const message = this.world.messageObject(chat, kept) as Message & Record<string, unknown>;
    if (options.forwarded)
      message.forward_origin = { type: "hidden_user", sender_user_name: "Somebody", date: kept.date };
    if (options.anonymous) {
      message.from = { id: 1_087_968_824, is_bot: true, first_name: "Group", username: "GroupAnonymousBot" };
      message.sender_chat = this.world.chatObject(chat) as Message["sender_chat"];
    }
    if (options.picture || options.location) {
      const caption = message.text;
      const entities = message.entities;
      delete message.text;
      delete message.entities;
      if (options.location) message.location = options.location as Message["location"];
      if (options.picture) {
        message.photo = [{ file_id: `p${kept.id}`, file_unique_id: `p${kept.id}`, width: 8, height: 8 }];
        if (caption) Object.assign(message, { caption, ...(entities ? { caption_entities: entities } : {}) });
      }
    }
    return message;
  }

  /** Under privacy mode a bot hears only commands meant for it, replies to it and service messages. */
  #reaches(chat: KeptChat, kept: KeptMessage): boolean {
    if (chat.kind === "private") return chat.bot !== "kicked";
    if (chat.bot === "left" || chat.bot === "kicked") return false;
    if (this.world.user(kept.fromId).is_bot) return false;
    if (this.world.bot.can_read_all_group_messages || chat.bot === "administrator") return true;
    const replied = kept.replyTo === undefined ? undefined : chat.messages.get(kept.replyTo);
    if (replied?.fromId === this.world.bot.id) return true;
    const mine = `@${this.world.bot.username}`.toLowerCase();
    return entitiesOf(kept.text).some(({ type, offset, length }) => {
      if (type !== "bot_command") return false;
      const command = kept.text.slice(offset, offset + length).toLowerCase();
      return command.includes("@") ? command.endsWith(mine) : chat.botSpokeLast;
    });
  }

  #addChat(id: number, kind: KeptChat["kind"], title: string): KeptChat {
    const chat: KeptChat = {
      id,
      kind,
      title,
      forum: false,
      members: new Map(),
      bot: "left",
      topics: new Map(),
      reactions: null,
      movedTo: null,
      lastId: 0,
      botSpokeLast: false,
      messages: new Map(),
    };
    this.world.chats.set(id, chat);
    return chat;
  }

  /** Service messages reach the bot in every mode, as long as it is there. */
  #service(chat: KeptChat, byUserId: number, content: object): void {
    const kept = this.world.keep(chat, {
      fromId: byUserId,
      date: this.world.seconds(),
      text: "",
      source: "",
      buttons: [],
    });
    if (chat.bot === "left" || chat.bot === "kicked") return;
    const { text: _text, ...message } = this.world.messageObject(chat, kept) as Message.TextMessage;
    this.world.updates.push({ message: { ...message, ...content } as Update["message"] });
  }

  #botStatus(chat: KeptChat, byUserId: number, before: MemberStatus): void {
    this.world.updates.push({
      my_chat_member: this.#change(chat, byUserId, this.world.bot.id, before, chat.bot),
    } as Partial<Update>);
  }
  #change(
    chat: KeptChat,
    byUserId: number,
    userId: number,
    before: MemberStatus,
    after: MemberStatus,
  ): object {
    return {
      chat: this.world.chatObject(chat),
      from: this.world.user(byUserId),
      date: this.world.seconds(),
      old_chat_member: memberObject(this.world, userId, before),
      new_chat_member: memberObject(this.world, userId, after),
    };
  }
}
