import { check } from "@placemarkio/check-geojson";
import { describe, expect, it } from "vitest";
import { cutAtAntimeridian } from "../../src/reporters/cut-at-antimeridian.js";
import { geojsonReport } from "../../src/reporters/geojson.js";
import { flightGeometry } from "../../src/score/flight-geometry.js";
import { auditFlight } from "../../src/score/flight-result.js";
import { hostileLog, UNSAFE } from "../helpers/hostile.js";
import { replayRows } from "../helpers/replay.js";
import { LATE_FIXED, logOf, THIRSTY } from "../helpers/run.js";

const log = logOf(LATE_FIXED, THIRSTY);
const geometry = flightGeometry(auditFlight(replayRows(LATE_FIXED, THIRSTY)));

interface Feature {
  readonly geometry: { readonly type: string; readonly coordinates: unknown };
  readonly properties: Readonly<Record<string, unknown>>;
}

function featuresOf(text: string): readonly Feature[] {
  const collection: { readonly features: readonly Feature[] } = JSON.parse(text);
  return collection.features;
}

describe("geojsonReport", () => {
  const text = geojsonReport([{ result: log, geometries: [geometry] }]);
  const all = featuresOf(text);
  const ofKind = (kind: string): typeof all => all.filter(({ properties }) => properties["kind"] === kind);

  it("is valid and has a feature of every kind", () => {
    expect(check(text)).toMatchObject({ type: "FeatureCollection" });
    expect([...new Set(all.map(({ properties }) => properties["kind"]))]).toEqual([
      "track",
      "worst-moment",
      "recovery",
      "recovery-point",
      "operator",
    ]);
    expect(ofKind("track")).toHaveLength(geometry.pieces.length);
  });

  it("has the numbers of the result at each worst moment, and the line from there to the recovery point", () => {
    const findings = log.flights[0]?.findings ?? [];
    expect(ofKind("worst-moment")).toHaveLength(findings.length);
    findings.forEach((finding, i) => {
      const { worst } = finding;
      expect(ofKind("worst-moment")[i]).toMatchObject({
        geometry: { type: "Point", coordinates: [worst.longitude_deg, worst.latitude_deg] },
        properties: {
          rule: finding.rule,
          verdict: finding.verdict,
          value: worst.value,
          limit: worst.limit,
          at_s: worst.at_s,
        },
      });
      const line = ofKind("recovery").find(({ properties }) => properties["message"] === finding.message);
      const isAtPoint = worst.longitude_deg === 8 && worst.latitude_deg === 47;
      const way = [
        [worst.longitude_deg, worst.latitude_deg],
        [8, 47],
      ];
      expect(line?.geometry).toEqual(isAtPoint ? undefined : { type: "LineString", coordinates: way });
    });
  });

  it("is a valid empty collection without any flight", () => {
    expect(check(geojsonReport([]))).toMatchObject({ type: "FeatureCollection", features: [] });
  });

  it("keeps hostile text from showing as anything else", () => {
    const text = geojsonReport([
      {
        result: hostileLog(log),
        geometries: [
          {
            ...geometry,
            recoveries: geometry.recoveries.map((line, i) => ({
              ...line,
              finding: hostileLog(log).flights[0]?.findings[i] ?? line.finding,
            })),
          },
        ],
      },
    ]);
    expect(text).not.toMatch(UNSAFE);
    const written = JSON.stringify(check(text));
    expect(written).toContain(String.raw`\\u{202e}abc`);
    expect(written).not.toMatch(/\\u(00|20)/i);
  });
});

describe("cutAtAntimeridian", () => {
  it("leaves a line alone that does not cross", () => {
    expect(
      cutAtAntimeridian([
        [179, 10],
        [179.5, 11],
        [180, 12],
      ]),
    ).toEqual([
      [
        [179, 10],
        [179.5, 11],
        [180, 12],
      ],
    ]);
    expect(
      cutAtAntimeridian([
        [-10, 0],
        [10, 0],
      ]),
    ).toEqual([
      [
        [-10, 0],
        [10, 0],
      ],
    ]);
  });

  it("cuts eastward and westward, at the latitude between", () => {
    const east = [
      [179, 10],
      [180, 12],
    ];
    expect(
      cutAtAntimeridian([
        [179, 10],
        [-179, 14],
      ]),
    ).toEqual([
      east,
      [
        [-180, 12],
        [-179, 14],
      ],
    ]);
    expect(
      cutAtAntimeridian([
        [-179.75, 0],
        [179.25, 4],
      ]),
    ).toEqual([
      [
        [-179.75, 0],
        [-180, 1],
      ],
      [
        [180, 1],
        [179.25, 4],
      ],
    ]);
  });

  it("cuts there and back, and drops a part of one position", () => {
    expect(
      cutAtAntimeridian([
        [179, 0],
        [-179, 0],
        [179, 0],
      ]),
    ).toHaveLength(3);
    expect(
      cutAtAntimeridian([
        [179, 0],
        [180, 0],
        [-180, 0],
      ]),
    ).toEqual([
      [
        [179, 0],
        [180, 0],
      ],
    ]);
    expect(
      cutAtAntimeridian([
        [179, 0],
        [180, 0],
        [-179, 1],
      ]),
    ).toEqual([
      [
        [179, 0],
        [180, 0],
      ],
      [
        [-180, 0],
        [-179, 1],
      ],
    ]);
  });
});
