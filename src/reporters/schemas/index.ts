import { ADVICE_SCHEMA } from "./advice-schema.js";
import { FIT_SCHEMA } from "./fit-schema.js";
import { jsonSchemaOf } from "./parts.js";
import { REHEARSAL_SCHEMA } from "./rehearsal-schema.js";
import { RUN_SCHEMA } from "./result-schema.js";
import { SIGNOFF_SCHEMA } from "./signoff-schema.js";
import { SITE_INSPECTION_SCHEMA } from "./site-inspection-schema.js";

/** JSON Schemas of everything that is written as JSON to be kept, by the name of their file in docs/. */
export const JSON_SCHEMAS = {
  "result.schema.json": jsonSchemaOf("result", RUN_SCHEMA),
  "rehearsal.schema.json": jsonSchemaOf("rehearsal", REHEARSAL_SCHEMA),
  "advice.schema.json": jsonSchemaOf("advice", ADVICE_SCHEMA),
  "fit.schema.json": jsonSchemaOf("fit", FIT_SCHEMA),
  "signoff.schema.json": jsonSchemaOf("signoff", SIGNOFF_SCHEMA),
  "site-inspection.schema.json": jsonSchemaOf("site-inspection", SITE_INSPECTION_SCHEMA),
} as const;
