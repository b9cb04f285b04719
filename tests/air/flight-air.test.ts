import { describe, expect, it } from "vitest";
import { standardAir, STANDARD_DENSITY } from "../../src/air/atmosphere.js";
import { flightAir, thinAirFactor } from "../../src/air/flight-air.js";
import { makeTrack, times } from "../track/make-track.js";

const FLIGHT = { first: 2, last: 10 };

describe("standardAir", () => {
  it("is thinner when warmer than standard, at the same pressure", () => {
    const warm = standardAir(1500, 20);
    const standard = standardAir(1500);
    expect(warm.pressure_Pa).toBe(standard.pressure_Pa);
    expect(warm.density_kgm3 / standard.density_kgm3).toBeCloseTo(
      standard.temperature_K / (standard.temperature_K + 20),
      12,
    );
  });

  it("stays within the layer that the formulas hold in, and keeps the unknown unknown", () => {
    expect(standardAir(20_000)).toEqual(standardAir(11_000));
    expect(standardAir(-5000)).toEqual(standardAir(-1000));
    expect(standardAir(Number.NaN).density_kgm3).toBeNaN();
  });
});

describe("flightAir", () => {
  it("is sea level, and says so, where no altitude is logged", () => {
    const air = flightAir(makeTrack(times(10)), FLIGHT);
    expect(air).toMatchObject({ density_kgm3: STANDARD_DENSITY, isAltitudeKnown: false });
    expect(air.from).toContain("no altitude");
    expect(thinAirFactor(air)).toBe(1);
  });

  it("is that of the median altitude of the flight, not of the log", () => {
    const track = makeTrack(times(10), { altitude_m: (_, row) => (row < 2 ? 0 : 3000) });
    const air = flightAir(track, FLIGHT);
    expect(air.density_kgm3).toBeCloseTo(0.90925, 4);
    expect(air.from).toBe("standard atmosphere at 3000 m");
    // At 3000 m staying up takes 16 % more: sqrt(1.225 / 0.90925).
    expect(thinAirFactor(air)).toBeCloseTo(1.1607, 3);
  });

  it("counts the flight's last row", () => {
    const climbs = makeTrack(times(10), { altitude_m: (_, row) => (row < 2 ? 0 : row * 100) });
    // Rows 2 to 4: the median is that of row 3.
    expect(flightAir(climbs, { first: 2, last: 4 }).from).toBe("standard atmosphere at 300 m");
    expect(flightAir(climbs, { first: 2, last: 4 }).isAltitudeKnown).toBe(true);
  });

  it("takes the height over the ellipsoid where there is nothing else", () => {
    const track = makeTrack(times(10), { altitudeEllipsoidal_m: 1000, altitude_m: Number.NaN });
    expect(flightAir(track, FLIGHT).density_kgm3).toBeCloseTo(1.11166, 4);
  });

  it("takes a logged air temperature, but not that of something hot", () => {
    const at = (temperature_C: number) => flightAir(makeTrack(times(10), { altitude_m: 0, temperature_C }), FLIGHT);
    expect(at(35).density_kgm3).toBeCloseTo((1.225 * 288.15) / 308.15, 6);
    expect(at(35).from).toContain("35 °C");
    expect(at(80).density_kgm3).toBeCloseTo(1.225, 4);
    const said = [60, 60.1, -60, -60.1].map((temperature_C) => at(temperature_C).from.includes("in the log"));
    expect(said).toEqual([true, false, true, false]);
  });
});
