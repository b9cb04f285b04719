import { describe, expect, it } from "vitest";
import { isMapWrong } from "../../src/cli/is-map-wrong.js";

const log = (...codes: string[]): Parameters<typeof isMapWrong>[0][number] => ({
  problems: codes.map((code) => ({ code })),
});

describe("isMapWrong", () => {
  it.each([
    ["no log", [], false],
    ["a good log", [log()], false],
    ["a name that the only log lacks", [log("columns-unknown")], true],
    ["a name that every log lacks", [log("columns-unknown"), log("note", "columns-unknown")], true],
    ["a name that one of them has", [log("columns-unknown"), log()], false],
    ["a unit that does not fit, whatever the others are", [log(), log("columns-unit")], true],
    ["a channel that does not exist", [log(), log("columns-channel")], true],
  ])("%s", (_name, logs, isWrong) => expect(isMapWrong(logs)).toBe(isWrong));
});
