const DEG = Math.PI / 180;

/** @returns `angle_deg` turned into [0, 360), degrees; NaN stays NaN */
export function wrapBearing_deg(angle_deg: number): number {
  const turned = angle_deg % 360;
  return turned < 0 ? (turned + 360) % 360 : turned + 0;
}

/** @returns the smaller angle between two bearings, degrees, in [0, 180]; NaN if either is NaN */
export function angleBetween_deg(a_deg: number, b_deg: number): number {
  const apart = Math.abs(wrapBearing_deg(a_deg - b_deg));
  return apart > 180 ? 360 - apart : apart;
}

/** @returns the angle in radians */
export function radians(angle_deg: number): number {
  return angle_deg * DEG;
}

/** @returns the angle in degrees */
export function degrees(angle_rad: number): number {
  return angle_rad / DEG;
}
