import type { Requirement, SignedFlight, SignoffRecord } from "../score/signoff-record.js";
import { assumedText, flightFacts, flightName, totalsText } from "./signoff-facts.js";
import { printable, styleFor, type TextOptions, wrap } from "./text-style.js";

/** @returns a sign-off for people: met or not, every requirement with its numbers, every flight that was given */
export function signoffText(record: SignoffRecord, options: TextOptions): string {
  const style = styleFor(options);
  const { ascii, width } = options;
  const safe = (text: string): string => printable(text, ascii);
  const people = [
    ...(record.trainee === null ? [] : [`Trainee     ${safe(record.trainee)}`]),
    ...(record.instructor === null ? [] : [`Instructor  ${safe(record.instructor)}`]),
    ...(record.remark === null ? [] : [`Remark      ${safe(record.remark)}`]),
  ].flatMap((line) => wrap(line, width, "", "            "));
  return `${[
    record.passed ? style.verdict("clear", "SIGN-OFF MET") : style.verdict("fail", "SIGN-OFF NOT MET"),
    ...wrap(safe(totalsText(record)), width, "", ""),
    ...people,
    "",
    style.strong("Requirements"),
    ...record.requirements.flatMap((one) => requirementLines(one, options)),
    "",
    style.strong("Flights"),
    ...record.logs.flatMap(({ path, unread, flights }) => {
      if (unread !== null) return wrap(`not read  ${safe(path)}: ${safe(unread)}`, width, "  ", "    ");
      if (flights.length === 0) return wrap(`none      ${safe(path)}: no flight in it`, width, "  ", "    ");
      return flights.flatMap((flight) =>
        wrap(flightLine(flightName({ path, flights }, flight), flight, safe), width, "  ", "    "),
      );
    }),
    "",
    ...[assumedText(record), ...record.cautions].flatMap((caution) =>
      wrap(safe(caution), width, "", "").map(style.faint),
    ),
  ].join("\n")}\n`;
}

function requirementLines({ met, message, exceptions }: Requirement, options: TextOptions): string[] {
  const style = styleFor(options);
  const [first = "", ...rest] = wrap(printable(message, options.ascii), options.width, "           ", "           ");
  const mark = met ? style.verdict("clear", "met    ") : style.verdict("fail", "NOT MET");
  const exceptional = exceptions.flatMap((one) =>
    wrap(printable(one, options.ascii), options.width, "             ", "               "),
  );
  return [`  ${mark}${first.slice(9)}`, ...rest, ...exceptional];
}

function flightLine(name: string, flight: SignedFlight, safe: (text: string) => string): string {
  const { state, day, minutes, score, coverage } = flightFacts(flight);
  const points = flight.score === null ? score : `score ${score}`;
  const copy = flight.copy_of === null ? "" : `, another recording of ${safe(flight.copy_of)}`;
  return `${state.padEnd(8)}  ${safe(name)}  ${day}, ${minutes}, ${points}, coverage ${coverage}${copy}`;
}
