/** World Geodetic System 1984: semi-major axis, m, and flattening. Source: NGA.STND.0036. */
export const AXIS_M = 6_378_137;
const FLATTENING = 1 / 298.257_223_563;

/** First eccentricity squared. */
export const ECCENTRICITY_2 = FLATTENING * (2 - FLATTENING);
