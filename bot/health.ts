import { createServer, type IncomingMessage, type ServerResponse } from "node:http";
import type { AddressInfo } from "node:net";

/** What must hold for the bot to be of use; each resolves to false, or throws, when it does not. */
export type Checks = Record<string, () => boolean | Promise<boolean>>;

export type Route = (request: IncomingMessage, response: ServerResponse) => void;

export interface Health {
  port: number;
  close(): Promise<void>;
}

/**
 * Answers `GET /healthz`: 200 when all checks hold, else 503, with the checks by name. Other paths by `routes`, else 404.
 * @throws when the port cannot be listened on
 */
export async function serveHealth(
  port: number,
  checks: Checks,
  routes: Readonly<Record<string, Route>> = {},
): Promise<Health> {
  const server = createServer((request, response) => {
    const path = request.url?.split("?")[0] ?? "";
    if (path !== "/healthz" || request.method !== "GET") {
      const route = Object.hasOwn(routes, path) ? routes[path] : undefined;
      if (route) route(request, response);
      else response.writeHead(404).end();
      return;
    }
    run(checks).then((results) => {
      const well = Object.values(results).every(Boolean);
      response.writeHead(well ? 200 : 503, {
        "content-type": "application/json",
        "cache-control": "no-store",
      });
      response.end(`${JSON.stringify({ ok: well, checks: results })}\n`);
    });
  });
  await new Promise<void>((resolve, reject) => {
    server.once("error", reject);
    server.listen(port, resolve);
  });
  return {
    port: (server.address() as AddressInfo).port,
    close: () =>
      new Promise((resolve) => {
        server.close(() => resolve());
        server.closeAllConnections();
      }),
  };
}

async function run(checks: Checks): Promise<Record<string, boolean>> {
  const results: Record<string, boolean> = {};
  for (const [name, check] of Object.entries(checks)) {
    try {
      results[name] = await check();
    } catch {
      results[name] = false;
    }
  }
  return results;
}
