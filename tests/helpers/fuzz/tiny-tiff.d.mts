/** What `tinyTiff` writes. */
export interface TinyTiff {
  readonly columns: number;
  readonly heights_m: readonly number[];
  readonly west_deg: number;
  readonly north_deg: number;
  readonly step_deg: number;
  readonly packing?: "none" | "lzw" | "deflate";
  readonly system?: number;
}
export function tinyTiff(options: TinyTiff): Buffer;
