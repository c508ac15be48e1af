/** A refusal as the Bot API words it: `{ ok: false, error_code, description, parameters }`. */
export class ApiFailure extends Error {
  constructor(
    readonly code: number,
    readonly description: string,
    readonly parameters?: { retry_after?: number; migrate_to_chat_id?: number },
  ) {
    super(description);
    this.name = "ApiFailure";
  }
}

export const badRequest = (why: string) => new ApiFailure(400, `Bad Request: ${why}`);
export const forbidden = (why: string) => new ApiFailure(403, `Forbidden: ${why}`);
export const conflict = (why: string) => new ApiFailure(409, `Conflict: ${why}`);
export const tooMany = (seconds: number) =>
  new ApiFailure(429, `Too Many Requests: retry after ${seconds}`, { retry_after: seconds });
export const migrated = (to: number) =>
  new ApiFailure(400, "Bad Request: group chat was upgraded to a supergroup chat", {
    migrate_to_chat_id: to,
  });
