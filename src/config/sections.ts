/** The keys at the top of homeleg.yaml. Each may also be the path of a file that holds the section's keys. */
export const SECTIONS = [
  "aircraft",
  "settings",
  "recovery_point",
  "operator",
  "wind",
  "site",
  "policy",
  "rules",
  "columns",
  "reading",
] as const;

/** A key at the top of homeleg.yaml. */
export type Section = (typeof SECTIONS)[number];

/** @returns whether the name is a key at the top of homeleg.yaml */
export function isSection(name: string): name is Section {
  return SECTIONS.some((section) => section === name);
}
