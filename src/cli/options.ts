import { InvalidArgumentError, Option } from "commander";

/** @returns a number option's parser that takes only a plain number in a range */
export function numberIn(low: number, high: number, what: string): (text: string) => number {
  return (text) => {
    const value = text.trim() === "" ? Number.NaN : Number(text);
    if (Number.isNaN(value) || value < low || value > high) {
      throw new InvalidArgumentError(`It must be ${what} from ${low} to ${high}.`);
    }
    return value;
  };
}

/** @returns a whole number's parser */
export function wholeFrom(low: number, high: number): (text: string) => number {
  return (text) => {
    if (!/^\d+$/.test(text) || Number(text) < low || Number(text) > high) {
      throw new InvalidArgumentError(`It must be a whole number from ${low} to ${high}.`);
    }
    return Number(text);
  };
}

/** @returns 0–1 from `0.8` or `80 %` */
export function share(text: string): number {
  const percent = /^\s*([0-9.]+)\s*%\s*$/.exec(text);
  const value = percent === null ? Number(text.trim() === "" ? Number.NaN : text) : Number(percent[1]) / 100;
  if (Number.isNaN(value) || value < 0 || value > 1) {
    throw new InvalidArgumentError("It must be a share from 0 to 1, or a percentage such as 80%.");
  }
  return value;
}

/** @returns an option that may be given several times */
export function repeated(flags: string, description: string): Option {
  return new Option(flags, description).argParser(collect).default([], "none");
}

function collect(value: string, before: readonly string[]): string[] {
  return [...before, value];
}

/** Options for the look of any text. */
export function lookOptions(): Option[] {
  return [
    new Option("--color <when>", "colour in text").choices(["auto", "always", "never"]).default("auto"),
    new Option("--ascii", "no characters beyond ASCII in text"),
  ];
}

/** What a run must meet to pass. `--gate` has no default here: none asked for is not `fail` asked for. */
export function gateOptions(): Option[] {
  return [
    new Option("--gate <verdict>", "the mildest verdict that fails the run (default: fail)").choices(["fail", "thin"]),
    new Option("--min-score <score>", "fail the run under this score").argParser(numberIn(0, 100, "a number")),
    new Option(
      "--min-coverage <share>",
      "fail the run under this coverage; 0 lets flights without a score pass",
    ).argParser(share),
  ];
}

/** Options that shape a text report. */
export function textOptions(): Option[] {
  return [
    new Option("--units <system>", "units of the prose").choices(["metric", "imperial"]).default("metric"),
    ...lookOptions(),
    new Option("--quiet", "text: one line a flight"),
    new Option("--explain-score", "text: show how the score adds up"),
  ];
}
