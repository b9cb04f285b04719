/** What a leg has to do with keep-out zones; the caller owns it. */
export interface KeepOutMet {
  /** Metres of the centre line inside, overlaps counted once. */
  inside_m: number;
  /** The same without the first stretch of a leg that begins inside: what it enters. */
  entered_m: number;
  /** The corridor touches one. */
  isTouched: boolean;
  /** Number of a zone that is entered, else of one that is touched; -1 for none. */
  zone: number;
  /** The leg began inside and so far has not come out. */
  isStillInside: boolean;
}
