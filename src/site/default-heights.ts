/** What a map feature without a height is taken for: keys of `site.default_heights` in homeleg.yaml. */
export const DEFAULT_KINDS = ["trees", "woods", "power_line", "level"] as const;

/** One of `DEFAULT_KINDS`; `level` is one storey of a building. */
export type DefaultKind = (typeof DEFAULT_KINDS)[number];

/** A height for what has none, declared or the project's own. */
export interface DefaultHeight {
  readonly value_m: number;
  readonly basis: "declared" | "assumed";
  /** `homeleg.yaml:14`, or `project default`. */
  readonly from: string;
}

/** A height for every kind. */
export type DefaultHeights = Readonly<Record<DefaultKind, DefaultHeight>>;

/** How often a default was needed. */
export interface DefaultUse extends DefaultHeight {
  readonly kind: DefaultKind;
  readonly count: number;
}

/**
 * Heights in m for what a map carries without one. Project defaults, on the tall side of what is common; 3.5 m a level is
 * the tallest of the values that public code uses (3 to 3.5), since the tagging rules name none.
 */
export const PROJECT_HEIGHTS_M: Readonly<Record<DefaultKind, number>> = {
  trees: 20,
  woods: 25,
  power_line: 30,
  level: 3.5,
};

/**
 * @param declared_m what homeleg.yaml says of some of them
 * @param placeOf where it says so
 * @returns a height for every kind
 */
export function completeHeights(
  declared_m: Readonly<Partial<Record<DefaultKind, number | undefined>>> = {},
  placeOf: (kind: DefaultKind) => string | undefined = () => undefined,
): DefaultHeights {
  const height = (kind: DefaultKind): DefaultHeight => {
    const value_m = declared_m[kind];
    return value_m === undefined
      ? { value_m: PROJECT_HEIGHTS_M[kind], basis: "assumed", from: "project default" }
      : { value_m, basis: "declared", from: placeOf(kind) ?? "declared" };
  };
  return {
    trees: height("trees"),
    woods: height("woods"),
    power_line: height("power_line"),
    level: height("level"),
  };
}
