import { describe, expect, it } from "vitest";
import { groundSpeed_ms } from "../../src/air/wind-triangle.js";

// Speeds are in the unit of each source: the triangle only needs one unit throughout.
const degrees = (angle_rad: number): number => (angle_rad * 180) / Math.PI;
const radians = (angle_deg: number): number => (angle_deg * Math.PI) / 180;

/** Nose angle into the wind by its textbook definition; the tool itself needs the ground speed alone. */
const drift_deg = (airSpeed: number, wind: number, from_deg: number, course_deg: number): number =>
  degrees(Math.asin((wind / airSpeed) * Math.sin(radians(from_deg - course_deg))));

describe("wind triangle against published examples", () => {
  it.each([
    ["FAA Pilot's Handbook of Aeronautical Knowledge, Navigation, The Wind Triangle", 90, 120, 45, 40, 88, 0.5],
    ["public licence question bank, General Navigation", 180, 180, 100, 18, 176, 0.5],
    ["San Francisco State University, physics class exercise 9/22/00", 0, 100, 135, 25, 116, 0.5],
    // Given as a heading of 315; course and ground speed are both printed.
    ["Mathematics for Air Crew Trainees, p. 73 exercise (2)", 304, 150, 45, 30, 153, 0.5],
    // Graphical inverse: the wind read off the plot as 34 mph from 154.
    ["wartime navigation-computer manual, Example 16", 94, 165, 154, 34, 146, 1],
  ])("%s: ground speed", (_source, course_deg, airSpeed, from_deg, wind, published, tolerance) => {
    expect(Math.abs(groundSpeed_ms(airSpeed, wind, from_deg, course_deg) - published)).toBeLessThanOrEqual(tolerance);
  });

  // Computed for this project from the published inputs (no output printed to these digits).
  it.each([
    [90, 120, 45, 40, 88.335],
    [180, 180, 100, 18, 175.999],
    [255, 100, 200, 10, 93.928],
    [0, 100, 135, 25, 116.103],
    [45, 100, 0, 20, 84.853], // a widely copied page prints 92: it is wrong
  ])("course %d, air speed %d, wind %d/%d: exact", (course_deg, airSpeed, from_deg, wind, exact) => {
    expect(Math.abs(groundSpeed_ms(airSpeed, wind, from_deg, course_deg) - exact)).toBeLessThan(0.0005);
  });

  it.each([
    ["public licence question bank, General Navigation: 6 left", 180, 180, 100, 18, -6],
    ["public PPL(H) question bank: 5 left", 255, 100, 200, 10, -5],
    ["San Francisco State University, physics class exercise 9/22/00: 10 east", 0, 100, 135, 25, 10],
  ])(
    "%s: the nose angle holds the course at that ground speed",
    (_source, course_deg, airSpeed, from_deg, wind, angle) => {
      const wca_deg = drift_deg(airSpeed, wind, from_deg, course_deg);
      expect(Math.abs(wca_deg - angle)).toBeLessThanOrEqual(0.5);
      // Air vector less wind vector must lie along the course with the length given.
      const heading_rad = radians(course_deg + wca_deg);
      const east = airSpeed * Math.sin(heading_rad) - wind * Math.sin(radians(from_deg));
      const north = airSpeed * Math.cos(heading_rad) - wind * Math.cos(radians(from_deg));
      expect(groundSpeed_ms(airSpeed, wind, from_deg, course_deg)).toBeCloseTo(Math.hypot(east, north), 9);
      expect((degrees(Math.atan2(east, north)) + 360) % 360).toBeCloseTo(course_deg, 9);
    },
  );
});
