import { Option } from "commander";
import { UserError } from "../index.js";

/** @returns `--format` of what there is; text where nothing else is asked for */
export function formatOption(known: readonly { readonly id: string }[]): Option {
  const names = known.map(({ id }) => id).join(", ");
  const text = known.filter(({ id }) => id === "text");
  return new Option("--format <formats>", `${names}; several with commas between`)
    .argParser(formatsOf(known))
    .default(text, "text");
}

/**
 * @param known what there is, by `id`
 * @returns a parser of `--format`: one or several, with commas between or by repeating the option; a default gives way
 * @throws UserError in one line, with the known ones
 */
export function formatsOf<One extends { readonly id: string }>(
  known: readonly One[],
): (text: string, before: readonly One[]) => One[] {
  let isAsked = false;
  return (text, before) => {
    const asked = text.split(",").map((name) => {
      const found = known.find(({ id }) => id === name.trim());
      if (found !== undefined) return found;
      throw new UserError("format-unknown", `There is no format "${name.trim()}".`, {
        hint: `There are ${known.map(({ id }) => id).join(", ")}.`,
      });
    });
    const all = isAsked ? [...before, ...asked] : asked;
    isAsked = true;
    return [...new Set(all)];
  };
}
