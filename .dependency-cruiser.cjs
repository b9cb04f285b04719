/** Which folder may import which. Data flows one way; so do imports. Each rule says why in a sentence. */
const only = (folder, allowed, why) => ({
  name: `${folder}-imports`,
  comment: why,
  severity: "error",
  from: { path: `^src/${folder}/` },
  to: {
    path: "^src/",
    pathNot: [`^src/${folder}/`, "^src/user-error\\.ts$", ...allowed.map((name) => `^src/${name}`)],
  },
});

/** @type {import("dependency-cruiser").IConfiguration} */
module.exports = {
  forbidden: [
    {
      name: "no-circular",
      comment: "A cycle has no first module to understand, test or change.",
      severity: "error",
      from: {},
      to: { circular: true, dependencyTypesNot: ["type-only"] },
    },
    only("num", [], "Pure numeric functions serve everyone and know no one."),
    only(
      "config",
      ["num/", "track/channels\\.ts$", "plain-file\\.ts$"],
      "Settings are read before any log is, and name only its channels.",
    ),
    only(
      "track",
      ["num/", "config/declared\\.ts$"],
      "The track is the model that parsers fill; it knows nothing of what is asked of it.",
    ),
    only(
      "parsers",
      ["num/", "track/(track|channels)\\.ts$", "config/(declared|reading)\\.ts$"],
      "Parsers turn bytes into a track and judge nothing.",
    ),
    only("air", ["num/", "config/", "track/"], "The air does not know the aircraft, the site or the rules."),
    only(
      "aircraft",
      ["num/", "config/", "track/", "air/"],
      "The aircraft does not know the site, the recovery or the rules.",
    ),
    only("site", ["num/", "config/", "track/"], "The ground does not know who flies over it."),
    only(
      "recovery",
      ["num/", "config/", "track/", "air/", "aircraft/", "site/"],
      "A rehearsal is computed without knowing how it will be judged.",
    ),
    only(
      "fit",
      ["num/", "config/", "track/", "air/", "aircraft/", "recovery/"],
      "A fit asks flights what they used, and judges none.",
    ),
    only(
      "rules",
      ["num/", "config/", "track/", "recovery/", "site/"],
      "Rules judge rehearsals; they do not know the score or the reports.",
    ),
    only(
      "score",
      ["num/", "config/", "track/", "air/", "aircraft/", "recovery/", "rules/"],
      "The score sums verdicts; it does not know how they are shown.",
    ),
    only(
      "pictures",
      ["num/", "config/", "track/", "site/", "recovery/", "rules/", "score/"],
      "Pictures are thinned out of a judged flight and judge nothing; only reporters draw them.",
    ),
    only(
      "inspect",
      ["num/", "config/", "track/", "parsers/", "score/"],
      "An inspection tells how a log was read and what that costs; nothing but its report rests on it.",
    ),
    only(
      "advise",
      ["num/", "config/", "track/", "air/", "aircraft/", "site/", "recovery/", "rules/"],
      "Advice asks the rehearsals of past flights about the next one; no verdict or score rests on it.",
    ),
    only(
      "reporters",
      [
        "rules/say\\.ts$",
        "score/",
        "pictures/picture\\.ts$",
        "inspect/(inspection|site-inspection)\\.ts$",
        "fit/aircraft-fit\\.ts$",
        "advise/advice\\.ts$",
        "config/declared\\.ts$",
      ],
      "Reporters render the one result object and its pictures, and compute nothing.",
    ),
    only("cli", ["index\\.ts$"], "The command line uses the public library and nothing behind it."),
    {
      name: "rules-apart",
      comment: "A rule that leans on another cannot be read, switched off or tested alone.",
      severity: "error",
      from: { path: "^src/rules/", pathNot: "^src/rules/(find-rule|index|rule|say|shared|lacks|verdict)\\.ts$" },
      to: { path: "^src/rules/", pathNot: "^src/rules/(rule|say|shared|lacks|verdict)\\.ts$" },
    },
    {
      name: "parsers-apart",
      comment: "Each format stands alone: one that breaks must not take another with it.",
      severity: "error",
      from: { path: "^src/parsers/(csv|gpx)/" },
      to: { path: "^src/parsers/(csv|gpx)/", pathNot: "^src/parsers/$1/" },
    },
    {
      name: "pure-core",
      comment: "Between track and score the same input gives the same output: no files, clock, network or process.",
      severity: "error",
      from: { path: "^src/(num|track|air|aircraft|site|recovery|rules|score|pictures|fit|inspect|advise|reporters)/" },
      to: { dependencyTypes: ["core"] },
    },
    {
      name: "oracles-alone",
      comment: "An oracle that calls the code it judges is worth nothing.",
      severity: "error",
      from: { path: "^tests/oracles/" },
      to: { path: "^src/" },
    },
    {
      name: "no-dev-in-src",
      comment: "What the package imports must be installed with it.",
      severity: "error",
      from: { path: "^src/" },
      to: { dependencyTypes: ["npm-dev", "npm-no-pkg", "npm-unknown"], dependencyTypesNot: ["type-only"] },
    },
  ],
  options: {
    doNotFollow: { path: "node_modules" },
    tsPreCompilationDeps: true,
    tsConfig: { fileName: "tsconfig.json" },
    enhancedResolveOptions: { extensions: [".ts", ".js", ".json"] },
  },
};
