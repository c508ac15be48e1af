import type { BotCommand } from "grammy/types";

interface Command {
  name: string;
  /** What the messenger's menu shows. */
  shown: string;
  /** The plain sentence it stands for, so that commands and sentences go one way. */
  sentence: (argument: string) => string;
}

const COMMANDS: readonly Command[] = [
  { name: "due", shown: "What is due", sentence: (words) => `what is due ${words || "today"}?` },
  { name: "undo", shown: "Take back the last entry", sentence: () => "undo" },
  { name: "places", shown: "The places and their floors", sentence: () => "which places are there?" },
  { name: "settings", shown: "What is set, and how to change it", sentence: () => "show the settings" },
  {
    name: "collection",
    shown: "Give this topic a collection of its own",
    sentence: (words) => `collection ${words}`.trim(),
  },
  { name: "quiet", shown: "Hours without reminders", sentence: (words) => `quiet hours ${words}`.trim() },
  { name: "export", shown: "The journal as a file", sentence: (words) => `export ${words}`.trim() },
  { name: "help", shown: "What can be written here", sentence: (words) => `help ${words}`.trim() },
  { name: "start", shown: "Begin", sentence: () => "help" },
];

/** The lists for the messenger's menu; "/start" stands in nobody's menu. */
export const MENU: BotCommand[] = COMMANDS.filter(({ name }) => name !== "start").map(({ name, shown }) => ({
  command: name,
  description: shown,
}));

/** The sentence a command stands for; null for one that is not ours. */
export function sentenceOf(name: string, argument: string): string | null {
  return COMMANDS.find((command) => command.name === name)?.sentence(argument) ?? null;
}
