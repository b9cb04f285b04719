// A worker for tests that dies in the ways a thread can, as the path tells it.
export default async function audit({ path }) {
  if (path === "exits") process.exit(3);
  if (path === "throws") throw new TypeError("a bug of its own");
  if (path === "throws-later")
    setTimeout(() => {
      throw new Error("nobody waited");
    }, 1);
  if (path === "throws-later") await new Promise((resolve) => setTimeout(resolve, 1000));
  if (path === "mistake") return { mistake: { code: "cannot-write", message: "The disk is full.", hint: "Empty it." } };
  const pause_ms = path.startsWith("slow") ? 50 : 0;
  await new Promise((resolve) => setTimeout(resolve, pause_ms));
  const facts = { path, parser: "csv", problems: [], flights: [] };
  return {
    audited: { facts, result: { value: {} }, config: [], parts: {}, isBroken: false, isLeftOut: false, said: [] },
  };
}
