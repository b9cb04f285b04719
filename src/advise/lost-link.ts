import type { HeightAdvice, LostLinkAdvice } from "./advice.js";

/** A zone as the site knows it. */
export interface AdviceZone {
  readonly name: string;
  readonly zone: "cover" | "water" | "keep-out" | "no-landing";
}

/** What suits a zone, by the rules action-unsuited and overhead-cover. */
const BY_ZONE: Readonly<Record<AdviceZone["zone"], { readonly action: "return" | "hold"; readonly why: string }>> = {
  cover: {
    action: "hold",
    why: "a return would climb into the cover; hold within 50 m of the operator, and land as soon as the work is done",
  },
  water: { action: "return", why: "land and hold end in the water" },
  "keep-out": { action: "return", why: "land and hold end inside; the way out is the shorter intrusion" },
  "no-landing": { action: "return", why: "land and hold end where nobody may land" },
};

/**
 * The lost-link action for the next flight: a return wherever it is known to work, and what suits each zone.
 * @param zones undefined: nobody declared any, not even that there are none
 */
export function adviseLostLink(
  declared: LostLinkAdvice["declared"],
  height: HeightAdvice,
  zones: readonly AdviceZone[] | undefined,
): LostLinkAdvice {
  return {
    declared,
    elsewhere: elsewhere(height),
    zones_declared: zones !== undefined,
    zones: (zones ?? []).map(({ name, zone }) => ({ name, zone, ...BY_ZONE[zone] })),
  };
}

function elsewhere({ status }: HeightAdvice): LostLinkAdvice["elsewhere"] {
  if (status === "safe")
    return { action: "return", why: "every way home asked about is clear at this recovery height" };
  if (status === "partly") {
    return { action: "return", why: "the ways home are clear as far as the ground and what stands on it are known" };
  }
  const why =
    status === "none"
      ? "no recovery height is both clear and legal everywhere: keep to where one is, then return"
      : "without terrain and obstacles nobody knows whether a return would clear them";
  return { action: null, why };
}
