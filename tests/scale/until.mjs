/**
 * Waits until something is so, and asks again every tenth of a second.
 * @throws where it is not so after that many seconds
 */
export async function until(what, limit_s, isSo) {
  const end_ms = performance.now() + limit_s * 1000;
  while (!(await isSo())) {
    if (performance.now() > end_ms) throw new Error(`waited ${limit_s} s in vain: ${what}`);
    await new Promise((done) => setTimeout(done, 100));
  }
}
