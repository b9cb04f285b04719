import type { Requirement, SignedFlight, SignoffRecord } from "../score/signoff-record.js";
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
  const { totals } = record;
  const copies = totals.copies === 0 ? "" : `, ${totals.copies} more recorded twice and counted once`;
  return `${[
    record.passed ? style.verdict("clear", "SIGN-OFF MET") : style.verdict("fail", "SIGN-OFF NOT MET"),
    ...wrap(
      `As of ${record.as_of}, under ${safe(record.policy_file ?? "the project's default policy")}: ` +
        `${totals.flights} flights in ${totals.logs} logs${copies}.`,
      width,
      "",
      "",
    ),
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
        wrap(
          flightLine(flights.length > 1 ? `${path}, flight ${flight.index}` : path, flight, safe),
          width,
          "  ",
          "    ",
        ),
      );
    }),
    "",
    ...record.cautions.flatMap((caution) => wrap(safe(caution), width, "", "").map(style.faint)),
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
  const state = flight.copy_of !== null ? "copy    " : flight.met ? "met     " : "not met ";
  const day = flight.start_utc?.slice(0, 10) ?? "no date";
  const score = flight.score === null ? "no score" : `score ${flight.score}`;
  const minutes = Math.floor(flight.airborne_s / 6 + 1e-6) / 10;
  const coverage = Math.floor(flight.coverage * 100 + 1e-6);
  const copy = flight.copy_of === null ? "" : `, another recording of ${safe(flight.copy_of)}`;
  return `${state}  ${safe(name)}  ${day}, ${minutes} min, ${score}, coverage ${coverage} %${copy}`;
}
