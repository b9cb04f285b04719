/**
 * Plain data, as it is or as JSON text in bytes: those take a fraction of the memory that objects do, and the collector has
 * nothing to look through or to move.
 */
export type Packed<T> = { readonly value: T } | { readonly json: Uint8Array };

/** @returns it as bytes that share their memory with nothing, so that they can go to another thread as they are */
export function pack<T>(packed: Packed<T>): { readonly json: Uint8Array } {
  return "json" in packed ? packed : { json: new TextEncoder().encode(JSON.stringify(packed.value)) };
}

/** @returns the value, made anew each time where it was packed */
export function unpack<T>(packed: Packed<T>): T {
  return "value" in packed ? packed.value : (JSON.parse(new TextDecoder().decode(packed.json)) as T);
}
