import { nearestWord } from "../num/edit-distance.js";
import { UserError } from "../user-error.js";
import { RULES } from "./index.js";
import type { Rule } from "./rule.js";

/**
 * @param id as a person typed it
 * @throws UserError that names the nearest rule, where there is no such rule
 */
export function findRule(id: string): Rule {
  const found = RULES.find((rule) => rule.id === id);
  if (found !== undefined) return found;
  const nearest = nearestWord(
    id,
    RULES.map((rule) => rule.id),
  );
  const did = nearest === undefined ? "" : `Did you mean ${nearest}? `;
  throw new UserError("rule-unknown", `There is no rule ${id}.`, { hint: `${did}\`homeleg rules\` lists all.` });
}
