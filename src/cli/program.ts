import { Command } from "commander";
import { addAdvise } from "./advise.js";
import { addAudit } from "./audit.js";
import { addDemo } from "./demo.js";
import { addFit } from "./fit.js";
import { addInit } from "./init.js";
import { addInspect } from "./inspect.js";
import { addRehearse } from "./rehearse.js";
import { addRules } from "./rules.js";
import { addSignoff } from "./signoff.js";

const FOOTER = `
Examples:
  homeleg audit flight.csv                  one log, with homeleg.yaml above it
  homeleg inspect flight.csv                what each column was taken for
  homeleg rehearse flight.csv --at 6:52     one recovery, phase by phase
  homeleg init flight.csv                   a homeleg.yaml to fill in, beside it
  homeleg fit logs/ -o aircraft.yaml        drain rates from one aircraft's logs
  homeleg audit --min-score 80 logs/        a folder, as a gate in a script
  homeleg audit --format json - < log.gpx   standard input, for a program
  homeleg advise --radius 500m logs/        what to set next time there
  homeleg rules ceiling-low                 what a rule asks, and its limits

Exit codes:
  0  passed
  1  the gate was not passed: a fail finding, no score for want of coverage, or
     what --gate, --min-score and --min-coverage say
  2  wrong usage or settings, or a bug in homeleg
  3  a log could not be read, or no moment could be judged

homeleg checks records after the fact: advice, not clearance.
Local rules and licensed practice come first.`;

/** @returns the command line */
export function buildProgram(version: string): Command {
  const program = new Command("homeleg");
  program
    .description(
      "Had an automatic recovery begun at this moment of the flight, would it have brought the aircraft home?",
    )
    .version(version)
    .exitOverride()
    .showHelpAfterError("(homeleg --help shows what there is)")
    .showSuggestionAfterError()
    .addHelpText("after", FOOTER);
  addAudit(program);
  addAdvise(program);
  addInspect(program);
  addRehearse(program);
  addInit(program);
  addFit(program);
  addSignoff(program);
  addRules(program);
  addDemo(program);
  return program;
}
