/**
 * UTM by the series of Krüger to the order n⁴, on WGS84; an earth of its own, imports nothing.
 * Source: Karney, Transverse Mercator with an accuracy of a few nanometers (2011), equations 7–11, 35 and 36.
 */
export function utm(longitude: number, latitude: number, zone: number): [east: number, north: number] {
  const f = 1 / 298.257223563;
  const n = f / (2 - f);
  const e = Math.sqrt(f * (2 - f));
  const radius = (6378137 / (1 + n)) * (1 + n ** 2 / 4 + n ** 4 / 64);
  const alpha = [
    n / 2 - (2 / 3) * n ** 2 + (5 / 16) * n ** 3 + (41 / 180) * n ** 4,
    (13 / 48) * n ** 2 - (3 / 5) * n ** 3 + (557 / 1440) * n ** 4,
    (61 / 240) * n ** 3 - (103 / 140) * n ** 4,
    (49561 / 161280) * n ** 4,
  ];
  const phi = (latitude * Math.PI) / 180;
  const lambda = ((longitude - (zone * 6 - 183)) * Math.PI) / 180;
  const tau = Math.tan(phi);
  const sigma = Math.sinh(e * Math.atanh((e * tau) / Math.hypot(1, tau)));
  const conformal = tau * Math.hypot(1, sigma) - sigma * Math.hypot(1, tau);
  const xi = Math.atan2(conformal, Math.cos(lambda));
  const eta = Math.asinh(Math.sin(lambda) / Math.hypot(conformal, Math.cos(lambda)));
  let [x, y] = [eta, xi];
  for (const [j, a] of alpha.entries()) {
    const k = 2 * (j + 1);
    x += a * Math.cos(k * xi) * Math.sinh(k * eta);
    y += a * Math.sin(k * xi) * Math.cosh(k * eta);
  }
  return [500_000 + 0.9996 * radius * x, 0.9996 * radius * y];
}
