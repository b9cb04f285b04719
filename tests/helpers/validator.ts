import { Ajv2020 } from "ajv/dist/2020.js";
import addFormats from "ajv-formats";

/** @returns a validator that is not the one the schemas are written with; it says what is wrong, and where */
export function validator(schema: unknown): (value: unknown) => string[] {
  if (typeof schema !== "object" || schema === null) throw new Error("no schema");
  const ajv = new Ajv2020({ strict: true, allErrors: true, allowUnionTypes: true });
  addFormats.default(ajv);
  const validate = ajv.compile(schema);
  return (value) =>
    validate(value) ? [] : (validate.errors ?? []).map(({ instancePath, message }) => `${instancePath} ${message}`);
}

/** @returns paths of numbers that JSON cannot hold: it would write null, and nobody would know why */
export function notFinite(value: unknown, path: string = ""): string[] {
  if (typeof value === "number") return Number.isFinite(value) ? [] : [`${path} ${value}`];
  if (typeof value !== "object" || value === null) return [];
  return Object.entries(value).flatMap(([key, one]) => notFinite(one, `${path}/${key}`));
}
