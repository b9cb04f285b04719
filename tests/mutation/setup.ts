import fc from "fast-check";

/** As in every test run; and a mutant is dead at its first counter-example, however large that is. */
fc.configureGlobal({ seed: 1, endOnFailure: true });
