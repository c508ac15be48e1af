import { randomBytes } from "node:crypto";
import type { Clock } from "../bot/clock.js";
import type { Id } from "../bot/journal/ports.js";

export const NIL = "00000000-0000-0000-0000-000000000000";

/**
 * Ids that sort by time: UUID version 7 (RFC 9562, section 5.7), with the 12 bits after the version used as a counter
 * within the millisecond (section 6.2, method 1), so that ids of one process always rise, even while its clock stands.
 */
export function idMaker(clock: Clock): () => Id {
  let last = 0;
  let counter = 0;
  return () => {
    const now = clock.now().epochMilliseconds;
    if (now > last) {
      last = now;
      counter = 0;
    } else if (++counter > 0xfff) {
      last += 1;
      counter = 0;
    }
    const bytes = randomBytes(16);
    bytes.writeUIntBE(last, 0, 6);
    bytes.writeUInt16BE(0x7000 | counter, 6);
    bytes.writeUInt8(0x80 | (bytes.readUInt8(8) & 0x3f), 8);
    const hex = bytes.toString("hex");
    return `${hex.slice(0, 8)}-${hex.slice(8, 12)}-${hex.slice(12, 16)}-${hex.slice(16, 20)}-${hex.slice(20)}`;
  };
}
