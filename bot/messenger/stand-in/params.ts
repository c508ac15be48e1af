import { badRequest } from "./failures.js";

export interface UploadedFile {
  name: string;
  mime: string;
  bytes: Uint8Array;
}

/** The arguments of one call, whether they came as JSON, in the query or as a form (where all are strings). */
export class Params {
  constructor(
    private readonly values: Record<string, unknown>,
    private readonly uploads: Map<string, UploadedFile> = new Map(),
  ) {}

  string(name: string): string | undefined {
    const value = this.values[name];
    if (value === undefined || value === null) return undefined;
    return typeof value === "string" ? value : JSON.stringify(value);
  }

  integer(name: string): number | undefined {
    const value = this.values[name];
    if (value === undefined || value === null || value === "") return undefined;
    const number = Number(value);
    if (!Number.isSafeInteger(number)) throw badRequest(`invalid ${name} specified`);
    return number;
  }

  flag(name: string): boolean {
    const value = this.values[name];
    return value === true || value === "true" || value === "True" || value === 1 || value === "1";
  }

  /** An object or a list; a form carries it as JSON. */
  json(name: string): unknown {
    const value = this.values[name];
    if (typeof value !== "string") return value ?? undefined;
    try {
      return JSON.parse(value);
    } catch {
      throw badRequest(`can't parse ${name} JSON object`);
    }
  }

  /** A file in the form, given under its own name or as "attach://name". */
  file(name: string): UploadedFile | undefined {
    const direct = this.uploads.get(name);
    if (direct) return direct;
    const value = this.values[name];
    if (typeof value !== "string" || !value.startsWith("attach://")) return undefined;
    return this.uploads.get(value.slice("attach://".length));
  }
}
