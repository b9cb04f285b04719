/** The first value that is no attribute. */
export const FIRST_LEAF = 2;

/** A track point as a scan found it: places in bytes, all of them ASCII. Columns are used again for the next point. */
export interface ScannedPoint {
  readonly data: Buffer;
  /** The line on which it begins. */
  readonly firstLine: number;
  /** Which value is its latitude, and which its longitude: 0 or 1, in their order. */
  readonly latitude: number;
  readonly longitude: number;
  /**
   * How many values it has, entries of the columns below: those two, and from `FIRST_LEAF` on the texts of elements that have
   * no elements themselves, in the order of their ends.
   */
  readonly values: number;
  /** Where they stand; texts without the blanks around. */
  readonly from: Int32Array;
  readonly to: Int32Array;
  /** The lines on which their elements end, and for the first value that of the point's first tag, less `firstLine`. */
  readonly lines: Int32Array;
  /** Names of their elements, without prefixes. */
  readonly names: readonly string[];
  /** 1 for a child of the point itself, 0 for an element deeper inside. */
  readonly isOwn: Uint8Array;
}
