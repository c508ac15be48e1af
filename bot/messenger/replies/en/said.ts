import type { Outgoing, Place, Plant } from "../../../journal/ports.js";
import type { Manner } from "./figures.js";

/** What the wording needs to know of the surroundings. */
export interface Speaking {
  manner: Manner;
  places: readonly Place[];
  plants: readonly Plant[];
  author: string;
}

export interface Said extends Pick<Outgoing, "text" | "buttons" | "about" | "urgency" | "file"> {
  /** Lines behind the button, and the chain that "why?" shows; kept with the chat. */
  more?: string[];
  why?: string[];
}
