import { constants } from "node:fs";
import { type FileHandle, open } from "node:fs/promises";
import { setTimeout as wait } from "node:timers/promises";

/** So long a pipe is given for somebody to begin writing to it. */
const WRITER_WAIT_MS = 2000;
const POLL_MS = 5;
/** Each call costs as much as some ten kilobytes do. */
const BLOCK_BYTES = 262_144;

/** What cannot be read though the system would: `code` says why in words, where the system's errors have theirs. */
export class UnreadableFile extends Error {
  readonly syscall = "open";
  readonly code: string;

  /** @param code such as `a device` */
  constructor(code: string) {
    super(`This is ${code}.`);
    this.code = code;
  }
}

/**
 * Opens a file without waiting: a pipe that nobody writes to would wait for good, and a device may never end.
 * @throws UnreadableFile for a device, a socket or a folder
 */
async function openWithoutWaiting(path: string): Promise<{ file: FileHandle; isPipe: boolean }> {
  // Not on every system; where it is missing, so are named pipes.
  const file = await open(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  try {
    const facts = await file.stat();
    if (facts.isFile() || facts.isFIFO()) return { file, isPipe: facts.isFIFO() };
    throw new UnreadableFile(facts.isDirectory() ? "a folder" : "a device");
  } catch (error) {
    await file.close();
    throw error;
  }
}

/**
 * @returns a file that can be read from anywhere in it
 * @throws UnreadableFile for anything but a file
 */
export async function openFile(path: string): Promise<FileHandle> {
  const { file, isPipe } = await openWithoutWaiting(path);
  if (!isPipe) return file;
  await file.close();
  throw new UnreadableFile("a pipe, and is read from more than once");
}

/**
 * @param path of a file or a pipe
 * @returns its bytes as they are read
 * @throws UnreadableFile (while they are read) for a device, a folder, or a pipe that nothing writes to
 */
export async function* bytesOfFile(path: string): AsyncGenerator<Uint8Array, undefined> {
  const { file, isPipe } = await openWithoutWaiting(path);
  try {
    let hasWriter = !isPipe;
    for (let waited_ms = 0; ;) {
      const block = await readBlock(file);
      hasWriter ||= block === "later" || block.length > 0;
      if (block === "later" || !hasWriter) {
        if (!hasWriter && waited_ms > WRITER_WAIT_MS) throw new UnreadableFile("a pipe that nothing writes to");
        await wait(POLL_MS);
        waited_ms += POLL_MS;
      } else if (block.length === 0) return undefined;
      else yield block;
    }
  } finally {
    await file.close();
  }
}

/** @returns "later" where a pipe has nothing yet */
async function readBlock(file: FileHandle): Promise<Uint8Array | "later"> {
  const block = Buffer.allocUnsafeSlow(BLOCK_BYTES);
  try {
    const { bytesRead } = await file.read(block, 0, block.length, null);
    return block.subarray(0, bytesRead);
  } catch (error) {
    if (error instanceof Error && "code" in error && error.code === "EAGAIN") return "later";
    throw error;
  }
}

/**
 * @param most bytes that are read
 * @param tooBig what is thrown at more
 * @returns all bytes of a file or a pipe
 * @throws UnreadableFile as `bytesOfFile`
 */
export async function readWhole(path: string, most: number, tooBig: () => Error): Promise<Uint8Array> {
  const blocks: Uint8Array[] = [];
  let read_bytes = 0;
  for await (const block of bytesOfFile(path)) {
    read_bytes += block.length;
    if (read_bytes > most) throw tooBig();
    blocks.push(block);
  }
  return Buffer.concat(blocks);
}
