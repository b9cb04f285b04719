/**
 * Prose is left alone: a text with a space in it is for people, and a test that spells out one finding in full holds it.
 * Words without a space (verdicts, ids, keys, units) are mutated.
 */
const prose = {
  shouldIgnore({ node }) {
    if (node.type === "StringLiteral" && node.value.includes(" ")) return "Prose.";
    if (node.type === "TemplateLiteral" && node.quasis.some(({ value }) => value.raw.includes(" "))) return "Prose.";
    return undefined;
  },
};

export const strykerPlugins = [{ kind: "Ignore", name: "prose", value: prose }];
