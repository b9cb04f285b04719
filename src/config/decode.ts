import { isUtf8 } from "node:buffer";
import { createHash } from "node:crypto";

/** @returns the text of a UTF-8 file, without its byte order mark; undefined when it is not UTF-8 */
export function decodeUtf8(bytes: Uint8Array): string | undefined {
  return isUtf8(bytes) ? new TextDecoder().decode(bytes) : undefined;
}

/** @returns the SHA-256 of a file in hexadecimal */
export function sha256(bytes: Uint8Array): string {
  return createHash("sha256").update(bytes).digest("hex");
}
