import { resolve } from "node:path";
import type { Setting } from "../index.js";

/** @returns true for the operator's own track, which lies in the same folder often enough: it is no flight */
export function isOperatorTrack(path: string, { config }: Setting): boolean {
  const { operator } = config.declared;
  return operator?.kind === "track" && path !== "-" && resolve(operator.path) === resolve(path);
}
