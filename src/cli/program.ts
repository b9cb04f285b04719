import { Command } from "commander";

/** A command as the help lists it; its file is loaded only when it is the one asked for. */
interface Listed {
  /** Name, and arguments as the help shows them. */
  readonly usage: string;
  readonly summary: string;
  readonly load: () => Promise<(program: Command) => void>;
}

/** In the order of the help. Usage and summary are those of the command's own file, which a test holds. */
const COMMANDS: readonly Listed[] = [
  {
    usage: "audit [options] [paths...]",
    summary: "judge every moment of a log, or of a folder",
    load: async () => (await import("./audit.js")).addAudit,
  },
  {
    usage: "merge [options] <results...>",
    summary: "join the results of several runs into one",
    load: async () => (await import("./merge.js")).addMerge,
  },
  {
    usage: "advise [options] <paths...>",
    summary: "what to set for the next flight at a site",
    load: async () => (await import("./advise.js")).addAdvise,
  },
  {
    usage: "inspect [options] [paths...]",
    summary: "tell how a log, or a site, was understood",
    load: async () => (await import("./inspect.js")).addInspect,
  },
  {
    usage: "rehearse [options] <file>",
    summary: "show one recovery of a log, phase by phase",
    load: async () => (await import("./rehearse.js")).addRehearse,
  },
  {
    usage: "init [options] <file>",
    summary: "write a homeleg.yaml to fill in, fitted to a log",
    load: async () => (await import("./init.js")).addInit,
  },
  {
    usage: "fit [options] <paths...>",
    summary: "drain rates of one aircraft from its logs",
    load: async () => (await import("./fit.js")).addFit,
  },
  {
    usage: "signoff [options] [paths...]",
    summary: "judge a trainee's flights by a policy",
    load: async () => (await import("./signoff.js")).addSignoff,
  },
  {
    usage: "rules [options] [id]",
    summary: "list the rules, or explain one",
    load: async () => (await import("./rules.js")).addRules,
  },
  {
    usage: "demo [options]",
    summary: "audit the bundled flights of an invented club",
    load: async () => (await import("./demo.js")).addDemo,
  },
];

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

Exit codes:
  0  passed
  1  the gate was not passed: a fail finding, no score, or a gate option says so
  2  wrong usage or settings, or a bug in homeleg
  3  a log could not be read, or no moment could be judged
  130  ended early (Ctrl-C); what was finished is reported

homeleg checks records after the fact: advice, not clearance.
Local rules and licensed practice come first.`;

/**
 * @param words the command line without node and script: the command that they name is loaded whole, `all` loads every one
 * @returns the command line
 */
export async function buildProgram(version: string, words: readonly string[] | "all"): Promise<Command> {
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
  const [first, second] = words === "all" ? [] : words.filter((word) => !word.startsWith("-"));
  const asked = first === "help" ? second : first;
  const terms = new Map(COMMANDS.map(({ usage }) => [usage.split(" ")[0], usage]));
  for (const { usage, summary, load } of COMMANDS) {
    const [name = ""] = usage.split(" ");
    if (words === "all" || name === asked) (await load())(program);
    else program.command(name).summary(summary);
  }
  if (words !== "all") {
    program.configureHelp({ subcommandTerm: (command) => terms.get(command.name()) ?? `${command.name()} [command]` });
  }
  return program;
}
