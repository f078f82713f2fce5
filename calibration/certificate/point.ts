import { standardPressureHectopascals, stationPressureHectopascals } from '../fixed-points/atmosphere.js';
import { boilingC, boilingSlopeCPerHectopascal } from '../fixed-points/steam.js';
import type { ElectricalSignal } from '../reading/sensor.js';
import type { Distribution } from './coverage-factor.js';

/** What is not known about the temperature of a bath. Errors with the same `key` are one and the same error. */
export type BathError = {
  readonly key: string;
  readonly source: string;
  readonly distribution: Distribution;
  readonly standardUncertaintyC: number;
};

/** A bath a probe can sit in: its temperature and how well that is known. */
export type Bath = {
  readonly kind: 'ice' | 'boiling' | 'reference';
  readonly temperatureC: number;
  readonly errors: readonly BathError[];
  /** The conditions in numbers, for the certificate. */
  readonly conditions: Readonly<Record<string, number>>;
};

/** A probe settled in a bath. */
export type CalibrationPoint = Bath & {
  /** Mean of the readings taken. */
  readonly signal: ElectricalSignal;
  /** Standard deviation of single readings, in the raw unit. */
  readonly scatter: number;
  readonly readings: number;
  readonly heldS: number;
  readonly trendCPerMin: number;
  /** Wall time, ISO 8601. */
  readonly takenAt: string;
};

const rectangular = (halfWidth: number): number => halfWidth / Math.sqrt(3);

/**
 * Melting ice in its own water: 0 C. A home-made bath of crushed ice and tap water, stirred, stays within 0.1 C
 * (common practice, no source; a careful one within 0.01 C). `number` tells baths of one session apart.
 */
export function iceBath(number = 1): Bath {
  return {
    kind: 'ice',
    temperatureC: 0,
    errors: [
      {
        key: `ice-${number}`,
        source: 'ice bath',
        distribution: 'rectangular',
        standardUncertaintyC: rectangular(0.1),
      },
    ],
    conditions: { spreadC: 0.1 },
  };
}

/** Where the pressure came from: it decides how well the boiling point is known. */
export type Pressure =
  /** A barometer in the place; read to 1 hPa (standard 0.6). */
  | { readonly from: 'station'; readonly hectopascals: number }
  /** A weather report's sea-level value and the altitude; 1.5 hPa standard, with 5 m of altitude. */
  | { readonly from: 'qnh'; readonly hectopascals: number; readonly altitudeM: number }
  /** Altitude alone: the weather is unknown, about 10 hPa standard (common practice, no source). */
  | { readonly from: 'altitude'; readonly altitudeM: number };

export const standardUncertaintyOfPressure = { station: 0.6, qnh: 1.5, altitude: 10 } as const;

/** Station pressure in hPa. Throws outside the ranges of the atmosphere. */
export function stationPressureOf(pressure: Pressure): number {
  switch (pressure.from) {
    case 'station':
      return pressure.hectopascals;
    case 'qnh':
      return stationPressureHectopascals({
        qnhHectopascals: pressure.hectopascals,
        altitudeM: pressure.altitudeM,
      });
    case 'altitude':
      return standardPressureHectopascals(pressure.altitudeM);
  }
}

/**
 * Water at a full rolling boil in an open pot, the probe off the bottom. Superheat, depth and the lid leave about 0.2 C
 * either way (common practice, no source); the pressure leaves its share.
 */
export function boilingBath(pressure: Pressure, number = 1): Bath {
  const station = stationPressureOf(pressure);
  const u = standardUncertaintyOfPressure[pressure.from];
  return {
    kind: 'boiling',
    temperatureC: boilingC(station),
    errors: [
      {
        key: `boiling-${number}`,
        source: 'boiling bath',
        distribution: 'rectangular',
        standardUncertaintyC: rectangular(0.2),
      },
      {
        key: 'pressure',
        source: 'pressure',
        distribution: 'normal',
        standardUncertaintyC: u * boilingSlopeCPerHectopascal(station),
      },
    ],
    conditions: {
      stationPressureHpa: station,
      pressureUncertaintyHpa: u,
      spreadC: 0.2,
      ...('altitudeM' in pressure ? { altitudeM: pressure.altitudeM } : {}),
      ...(pressure.from === 'qnh' ? { qnhHpa: pressure.hectopascals } : {}),
    },
  };
}

/** A stirred bath read by a reference thermometer of known standard uncertainty, which errs alike at all points. */
export function referenceBath(temperatureC: number, standardUncertaintyC: number, number = 1): Bath {
  return {
    kind: 'reference',
    temperatureC,
    errors: [
      {
        key: 'reference-thermometer',
        source: 'reference thermometer',
        distribution: 'normal',
        standardUncertaintyC,
      },
      {
        key: `reference-${number}`,
        source: 'reference bath',
        distribution: 'rectangular',
        standardUncertaintyC: rectangular(0.1),
      },
    ],
    conditions: { thermometerUncertaintyC: standardUncertaintyC, spreadC: 0.1 },
  };
}
