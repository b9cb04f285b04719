import { readWhole, UserError } from "../index.js";

/** No text can be longer. */
const MOST_BYTES = 500_000_000;

/**
 * @param what the file is, with its name: `The result a.json`
 * @param code of the error
 * @returns the text of a file or a pipe
 * @throws UserError where it cannot be read
 */
export async function readText(path: string, what: string, code: string): Promise<string> {
  const fail = (why: string): UserError =>
    new UserError(code, `${what} cannot be read (${why}).`, { hint: "Check the path." });
  try {
    return new TextDecoder().decode(await readWhole(path, MOST_BYTES, () => fail("over 500 MB")));
  } catch (error) {
    if (!(error instanceof Error && "code" in error && "syscall" in error)) throw error;
    throw fail(String(error.code));
  }
}
