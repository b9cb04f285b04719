import fc from "fast-check";

/**
 * Property tests draw the same cases in every run of `npm test`, so that a change is never refused for what it did not
 * touch. New cases are for `npm run test:seeds`, which sets the seed from outside.
 */
fc.configureGlobal({ seed: Number(process.env["HOMELEG_TEST_SEED"] ?? "1") });
