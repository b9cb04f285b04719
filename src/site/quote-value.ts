const LONGEST = 60;

/** @returns a value of a map as a message shows it: text and numbers as JSON, cut when long; what holds more is only named */
export function quoteValue(value: unknown): string {
  const isList = Array.isArray(value) || ArrayBuffer.isView(value);
  if (typeof value === "object" && value !== null) return isList ? "(a list)" : "(an object)";
  if (typeof value === "number" && !Number.isFinite(value)) return "(a number without end)";
  if (typeof value !== "string") return String(value);
  return JSON.stringify(value.length > LONGEST ? `${value.slice(0, LONGEST)}…` : value);
}
