import { badRequest } from "./failures.js";
import type { UploadedFile } from "./params.js";

export interface Form {
  values: Record<string, string>;
  uploads: Map<string, UploadedFile>;
}

/**
 * Reads multipart/form-data as tolerantly as the service does: names may stand without quotes, which the form
 * reader of Node's fetch refuses.
 * @throws {ApiFailure} 400 when there is no boundary
 */
export function readMultipart(contentType: string, body: Buffer): Form {
  const boundary = /boundary=(?:"([^"]+)"|([^;\s]+))/i.exec(contentType);
  const mark = boundary?.[1] ?? boundary?.[2];
  if (mark === undefined) throw badRequest("multipart form without a boundary");
  const form: Form = { values: {}, uploads: new Map() };
  const delimiter = Buffer.from(`--${mark}`);
  let start = body.indexOf(delimiter);
  while (start >= 0) {
    const next = body.indexOf(delimiter, start + delimiter.byteLength);
    if (next < 0) break;
    // Each part stands between "\r\n" after one delimiter and "\r\n" before the next.
    readPart(body.subarray(start + delimiter.byteLength + 2, next - 2), form);
    start = next;
  }
  return form;
}

function readPart(part: Buffer, form: Form): void {
  const end = part.indexOf("\r\n\r\n");
  if (end < 0) return;
  const headers = part.subarray(0, end).toString("utf8");
  const content = part.subarray(end + 4);
  const name = attribute(headers, "name");
  if (name === null) return;
  const filename = attribute(headers, "filename");
  if (filename === null) form.values[name] = content.toString("utf8");
  else
    form.uploads.set(name, {
      name: filename,
      mime: /content-type:\s*([^\r\n;]+)/i.exec(headers)?.[1]?.trim() ?? "application/octet-stream",
      bytes: new Uint8Array(content),
    });
}

function attribute(headers: string, name: string): string | null {
  const found = new RegExp(`[;\\s]${name}=(?:"([^"]*)"|([^;\\r\\n]*))`, "i").exec(headers);
  return found ? (found[1] ?? found[2] ?? "").trim() : null;
}
