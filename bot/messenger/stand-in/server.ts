import { createServer, type IncomingMessage, type Server, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";
import { setTimeout as sleep } from "node:timers/promises";
import { ApiFailure, badRequest } from "./failures.js";
import { type Faults, failureOf, type Limits, SPEAKING } from "./faults.js";
import { chatMethods, getUpdates } from "./methods-chats.js";
import { messageMethods } from "./methods-messages.js";
import { readMultipart } from "./multipart.js";
import { Params } from "./params.js";
import type { World } from "./world.js";

const METHODS = { ...messageMethods, ...chatMethods };
const MOST_BODY = 60 * 2 ** 20;

/** The HTTP face of the stand-in: `/bot<token>/<method>` on loopback. */
export class ApiServer {
  #server: Server;
  /** Calls being dealt with, long polls left out. */
  inFlight = 0;

  constructor(
    private readonly world: World,
    private readonly token: string,
    private readonly faults: Faults,
    private readonly limits: Limits | null,
  ) {
    this.#server = createServer((request, response) => {
      this.#serve(request, response).catch(() => response.destroy());
    });
    this.#server.keepAliveTimeout = 60_000;
  }

  listen(port = 0): Promise<string> {
    return new Promise((resolve, reject) => {
      this.#server.once("error", reject);
      this.#server.listen(port, "127.0.0.1", () => {
        resolve(`http://127.0.0.1:${(this.#server.address() as AddressInfo).port}`);
      });
    });
  }

  close(): Promise<void> {
    return new Promise((resolve) => {
      this.#server.close(() => resolve());
      this.#server.closeAllConnections();
    });
  }

  async #serve(request: IncomingMessage, response: ServerResponse): Promise<void> {
    const url = new URL(request.url ?? "/", "http://stand-in");
    const [, bot = "", method = ""] = url.pathname.split("/");
    const counted = method !== "getUpdates";
    if (counted) this.inFlight += 1;
    try {
      const body = await readBody(request);
      const result = await this.#call(bot, method, await readParams(request, url, body), response);
      if (result !== DROPPED) answer(response, 200, { ok: true, result });
    } catch (error) {
      const failure =
        error instanceof ApiFailure ? error : new ApiFailure(500, `Internal Server Error: ${error}`);
      const parameters = failure.parameters ? { parameters: failure.parameters } : {};
      answer(response, failure.code, {
        ok: false,
        error_code: failure.code,
        description: failure.description,
        ...parameters,
      });
    } finally {
      if (counted) this.inFlight -= 1;
    }
  }

  async #call(bot: string, method: string, params: Params, response: ServerResponse): Promise<unknown> {
    if (bot !== `bot${this.token}`) throw new ApiFailure(401, "Unauthorized");
    this.world.count(method);
    const chatId = params.integer("chat_id");
    const fault = this.faults.take(method, chatId);
    if (fault?.kind === "slow") await sleep(fault.milliseconds);
    const failure = fault ? failureOf(fault) : null;
    if (failure) throw failure;
    if (fault?.kind === "drop" && fault.when === "before") return drop(response);
    if (method === "getUpdates") {
      const gone = new AbortController();
      response.once("close", () => gone.abort());
      return getUpdates(this.world, params, gone.signal);
    }
    const implementation = METHODS[method];
    if (!implementation) throw new ApiFailure(404, "Not Found");
    if (chatId !== undefined && SPEAKING.has(method)) this.limits?.admit(chatId);
    const result = implementation(this.world, params);
    return fault?.kind === "drop" ? drop(response) : result;
  }
}

const DROPPED = Symbol("connection dropped");
function drop(response: ServerResponse): typeof DROPPED {
  response.destroy();
  return DROPPED;
}

function answer(response: ServerResponse, status: number, body: object): void {
  if (response.destroyed) return;
  response.writeHead(status, { "content-type": "application/json" });
  response.end(JSON.stringify(body));
}

async function readBody(request: IncomingMessage): Promise<Buffer> {
  const chunks: Buffer[] = [];
  let size = 0;
  for await (const chunk of request as AsyncIterable<Buffer>) {
    size += chunk.byteLength;
    if (size > MOST_BODY) throw new ApiFailure(413, "Request Entity Too Large");
    chunks.push(chunk);
  }
  return Buffer.concat(chunks);
}

async function readParams(request: IncomingMessage, url: URL, body: Buffer): Promise<Params> {
  const values: Record<string, unknown> = Object.fromEntries(url.searchParams);
  if (body.byteLength === 0) return new Params(values);
  const type = request.headers["content-type"] ?? "";
  if (type.startsWith("application/json")) {
    try {
      return new Params({ ...values, ...JSON.parse(body.toString("utf8")) });
    } catch {
      throw badRequest("can't parse request JSON object");
    }
  }
  if (type.startsWith("application/x-www-form-urlencoded"))
    return new Params({ ...values, ...Object.fromEntries(new URLSearchParams(body.toString("utf8"))) });
  const form = readMultipart(type, body);
  return new Params({ ...values, ...form.values }, form.uploads);
}
