import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import type { IncomingUpdate } from "../../bot/messenger/ports.js";
import { update } from "../db/examples.js";

/** As many updates as one call hands out, and how long it holds an answer back when there are none. */
const AT_ONCE = 5;
const HOLD_MS = 20;

/**
 * The far side in a few lines: hands out updates until they are confirmed by a call with a higher offset, as the
 * Bot API does, and notes what is sent to it.
 */
export class FaultMessenger {
  readonly received = new Map<string, number>();
  readonly #updates: IncomingUpdate[];
  readonly #server: Server;
  #confirmed = 0;
  /** Called for each request as it arrives. */
  onRequest: () => void = () => {};

  constructor(count: number, chats: number) {
    this.#updates = Array.from({ length: count }, (_, index) =>
      update(index + 1, -1 - (index % chats), `m${index + 1}`),
    );
    this.#server = createServer((request, response) => void this.#answer(request, response));
  }

  async listen(): Promise<string> {
    await new Promise<void>((resolve) => this.#server.listen(0, "127.0.0.1", resolve));
    const address = this.#server.address();
    return `http://127.0.0.1:${typeof address === "object" && address !== null ? address.port : 0}`;
  }

  close(): void {
    this.#server.closeAllConnections();
    this.#server.close();
  }

  async #answer(request: IncomingMessage, response: ServerResponse): Promise<void> {
    let body = "";
    for await (const chunk of request) body += String(chunk);
    this.onRequest();
    const url = new URL(request.url ?? "/", "http://localhost");
    if (url.pathname === "/send") {
      const { text } = JSON.parse(body) as { text: string };
      this.received.set(text, (this.received.get(text) ?? 0) + 1);
      response.end("{}");
      return;
    }
    const offset = Number(url.searchParams.get("offset"));
    this.#confirmed = Math.max(this.#confirmed, offset - 1);
    const waiting = this.#updates.filter(({ updateId }) => updateId > this.#confirmed).slice(0, AT_ONCE);
    setTimeout(() => response.end(JSON.stringify(waiting)), HOLD_MS);
  }
}
