/** How far a run is. */
export interface Advance {
  /** The log at hand, from 1, and how many there are. */
  readonly log: number;
  readonly logs: number;
  /** Bytes read, and to be read in all; undefined where that is not known. */
  readonly done_bytes: number;
  readonly all_bytes: number | undefined;
  readonly elapsed_s: number;
  readonly name: string;
}

const MEGABYTE = 1e6;

/**
 * @param width columns of the terminal; the line stays under it, so that it never wraps and can be wiped
 * @returns `log 3 of 120, 4.2 MB/s, 55 s left  logs/a.csv`; the name is cut at its beginning
 */
export function progressLine({ log, logs, done_bytes, all_bytes, elapsed_s, name }: Advance, width: number): string {
  const rate = elapsed_s > 0 ? done_bytes / elapsed_s : 0;
  const left_s = all_bytes === undefined || rate === 0 ? undefined : Math.max(0, all_bytes - done_bytes) / rate;
  const facts = [
    `log ${log} of ${logs}`,
    ...(rate > 0 ? [`${(rate / MEGABYTE).toFixed(1)} MB/s`] : []),
    ...(left_s === undefined ? [] : [`${leftText(left_s)} left`]),
  ].join(", ");
  const room = width - 1 - facts.length - 2;
  if (room < 8) return facts.slice(0, Math.max(0, width - 1));
  return `${facts}  ${name.length <= room ? name : `...${name.slice(name.length - room + 3)}`}`;
}

function leftText(left_s: number): string {
  const whole = Math.ceil(left_s);
  if (whole < 60) return `${whole} s`;
  const minutes = Math.floor(whole / 60);
  if (minutes < 60) return `${minutes} min ${String(whole % 60).padStart(2, "0")} s`;
  return `${Math.floor(minutes / 60)} h ${String(minutes % 60).padStart(2, "0")} min`;
}

/** Where progress is shown: standard error, in short. */
export interface ProgressScreen {
  readonly isTTY?: boolean;
  readonly columns?: number;
  write(text: string): unknown;
}

/** Work shorter than this shows nothing, and a line stands for at least a tenth of a second. */
const AFTER_S = 0.5;
const EVERY_S = 0.1;
const WIPE = "\r\u001b[2K";

/** A line on a terminal that is written over as the run goes on, and wiped at its end; nothing where it is no terminal. */
export class Progress {
  readonly #screen: ProgressScreen;
  readonly #isShown: boolean;
  readonly #now_s: () => number;
  readonly #start_s: number;
  #last_s = Number.NEGATIVE_INFINITY;
  #isOn = false;

  constructor(screen: ProgressScreen, isWanted: boolean, now_s: () => number) {
    this.#screen = screen;
    this.#isShown = isWanted && screen.isTTY === true;
    this.#now_s = now_s;
    this.#start_s = now_s();
  }

  /** Shows how far it is, if it is time to. */
  show(advance: Omit<Advance, "elapsed_s">): void {
    if (!this.#isShown) return;
    const now_s = this.#now_s();
    const elapsed_s = now_s - this.#start_s;
    if (elapsed_s < AFTER_S || now_s - this.#last_s < EVERY_S) return;
    this.#last_s = now_s;
    this.#isOn = true;
    // A terminal that was not told its size says 0.
    this.#screen.write(WIPE + progressLine({ ...advance, elapsed_s }, this.#screen.columns || 80));
  }

  /** Wipes the line, at the end or before something else is written. */
  clear(): void {
    if (this.#isOn) this.#screen.write(WIPE);
    this.#isOn = false;
  }
}
