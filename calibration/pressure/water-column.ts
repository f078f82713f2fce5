import { finite, ThermometryError } from '../errors.js';

/**
 * Density of air-free water at 101.325 kPa, kg/m3: Tanaka, Girard, Davis, Peuto, Bignell, Metrologia 38 (2001) 301,
 * equation 1, 0 to 40 C, relative standard uncertainty below 1e-6. Throws outside.
 */
export function waterDensity(temperatureC: number): number {
  finite(temperatureC, 'temperatureC');
  if (temperatureC < 0 || temperatureC > 40)
    throw new ThermometryError(
      temperatureC < 0 ? 'below-range' : 'above-range',
      `${temperatureC} C is outside 0 to 40 C. Give the temperature of the water in the hose.`,
    );
  return (
    999.97495 *
    (1 - ((temperatureC - 3.983035) ** 2 * (temperatureC + 301.797)) / (522528.9 * (temperatureC + 69.34881)))
  );
}

/**
 * Normal gravity at the surface of the ellipsoid, m/s2: GRS 80, Somigliana's closed formula (Moritz, Geodetic Reference
 * System 1980). Real gravity differs by less than 0.005 %. Throws for a latitude beyond the poles.
 */
export function normalGravity(latitudeDeg: number): number {
  finite(latitudeDeg, 'latitudeDeg');
  if (Math.abs(latitudeDeg) > 90)
    throw new ThermometryError(
      'above-range',
      `${latitudeDeg} is no latitude. Give degrees, south negative, -90 to 90.`,
    );
  const sin2 = Math.sin((latitudeDeg * Math.PI) / 180) ** 2;
  return (9.7803267715 * (1 + 0.001931851353 * sin2)) / Math.sqrt(1 - 0.0066943800229 * sin2);
}

/** Air beside the hose at 20 C and sea level, kg/m3 (CIPM-2007 gives 1.199 for dry air); it weighs on the other side. */
const airDensity = 1.2;

export type WaterColumn = {
  /** From the port of the transducer up to the surface of the water in the hose, m. */
  readonly heightM: number;
  readonly waterC: number;
  readonly latitudeDeg: number;
};

/** Weight of the water alone, kPa: 9.79 kPa a metre of fresh water at 20 C. */
export const waterKpa = ({ heightM, waterC, latitudeDeg }: WaterColumn): number =>
  (waterDensity(waterC) * normalGravity(latitudeDeg) * heightM) / 1000;

/** Gauge pressure at the foot of an open hose of fresh water, kPa: the water less the air of the same height. */
export const hoseKpa = (column: WaterColumn): number =>
  waterKpa(column) - (airDensity * normalGravity(column.latitudeDeg) * column.heightM) / 1000;
