/**
 * Length of the day from latitude and day of the year.
 * @source R. G. Allen, L. S. Pereira, D. Raes, M. Smith, Crop evapotranspiration, FAO Irrigation and Drainage
 *   Paper 56, Rome 1998, equations 24, 25 and 34; sunrise at a solar altitude of -0.833° after the US Naval Observatory
 */

const RADIANS = Math.PI / 180;
/** Altitude of the sun's centre when its upper limb stands on the horizon, with refraction, degrees. */
export const SUNRISE_ALTITUDE = -0.8333;

/** Declination of the sun, radians. @param dayOfYear 1 on 1 January */
export function solarDeclination(dayOfYear: number): number {
  return 0.409 * Math.sin((2 * Math.PI * dayOfYear) / 365 - 1.39);
}

/** Relative distance of earth and sun, inverse. */
export function inverseDistance(dayOfYear: number): number {
  return 1 + 0.033 * Math.cos((2 * Math.PI * dayOfYear) / 365);
}

/**
 * Hour angle at which the sun's centre passes the altitude, radians: 0 in the polar night, π in the polar day.
 * @param latitude degrees, south negative
 */
export function sunsetHourAngle(latitude: number, declination: number, altitude = 0): number {
  const phi = latitude * RADIANS;
  const cosine =
    (Math.sin(altitude * RADIANS) - Math.sin(phi) * Math.sin(declination)) /
    (Math.cos(phi) * Math.cos(declination));
  return Math.acos(Math.min(1, Math.max(-1, cosine)));
}

/**
 * Daylight hours after FAO-56: centre of the sun, no refraction; 0 to 24. Poor above 60°, useless near the circle.
 * @example daylightHours(-20, 246) //=> 11.67
 */
export function daylightHours(latitude: number, dayOfYear: number): number {
  return (24 / Math.PI) * sunsetHourAngle(latitude, solarDeclination(dayOfYear));
}

/**
 * Hours from sunrise to sunset as almanacs print them (upper limb, refraction); 0 to 24. Some ten minutes longer than
 * {@link daylightHours} at 50°.
 */
export function sunriseToSunsetHours(latitude: number, dayOfYear: number): number {
  return (24 / Math.PI) * sunsetHourAngle(latitude, almanacDeclination(dayOfYear), SUNRISE_ALTITUDE);
}

/**
 * Declination good to about 0.1°, where the two-term form of FAO-56 is off by up to half a degree near the equinoxes.
 * @source Spencer's Fourier series of 1971, as given by M. Iqbal, An Introduction to Solar Radiation, 1983 (from memory)
 */
function almanacDeclination(dayOfYear: number): number {
  const gamma = (2 * Math.PI * (dayOfYear - 1)) / 365;
  return (
    0.006918 -
    0.399912 * Math.cos(gamma) +
    0.070257 * Math.sin(gamma) -
    0.006758 * Math.cos(2 * gamma) +
    0.000907 * Math.sin(2 * gamma) -
    0.002697 * Math.cos(3 * gamma) +
    0.00148 * Math.sin(3 * gamma)
  );
}
