import { z } from 'zod';
import { budgetLineSchema } from '../budget/coverage-factor.js';
import { standardPressureHectopascals, stationPressureHectopascals } from '../fixed-points/atmosphere.js';
import { boilingC, boilingSlopeCPerHectopascal } from '../fixed-points/steam.js';
import { signalSchema } from '../reading/signal.js';
import { type ReferenceThermometer, referenceThermometerSchema } from './reference-thermometer.js';

/** What is not known about the temperature of a bath. Errors with the same `key` have all in common that they can; the first is the bath's own. */
const bathErrorSchema = z.strictObject({
  key: z.string(),
  ...budgetLineSchema.shape,
  /** Where the error lies to one side: its mean, bath minus stated temperature. */
  biasC: z.number().optional(),
});
export type BathError = Readonly<z.infer<typeof bathErrorSchema>>;

/** A bath a probe can sit in: its temperature and how well that is known. */
const bathSchema = z.strictObject({
  kind: z.enum(['ice', 'boiling', 'reference']),
  temperatureC: z.number(),
  errors: z.array(bathErrorSchema),
  /** The conditions in numbers, for the certificate. */
  conditions: z.record(z.string(), z.number()),
  /** The thermometer beside the probe, where it has a certificate of its own. */
  reference: referenceThermometerSchema.optional(),
});
export type Bath = Readonly<z.infer<typeof bathSchema>>;

/** What a probe still has to go when its point is taken, from the curve of its approach. */
const lagSchema = z.strictObject({
  remainingC: z.number(),
  standardUncertaintyC: z.number().min(0),
  timeConstantS: z.number().positive().optional(),
});
export type Lag = Readonly<z.infer<typeof lagSchema>>;

/** A probe settled in a bath. */
export const pointSchema = bathSchema.extend({
  /** Mean of the readings taken. */
  signal: signalSchema,
  /** Standard deviation of single readings, in the raw unit. */
  scatter: z.number().min(0),
  readings: z.number().int().min(2),
  heldS: z.number().min(0),
  trendCPerMin: z.number(),
  /** Probe minus bath that is left of the approach, where the approach was seen. */
  lag: lagSchema.optional(),
  /** Wall time, ISO 8601. */
  takenAt: z.iso.datetime(),
});
export type CalibrationPoint = Readonly<z.infer<typeof pointSchema>>;

const rectangular = (halfWidth: number): number => halfWidth / Math.sqrt(3);

/** Salts of tap water lower the melting point: 0.3 g of salts per litre, half of it melted ice, by about 0.01 C. */
const saltsC = 0.01;

/**
 * Melting ice in its own water: 0 C, and never colder but for the salts of the water. Warmer it is easily: water below
 * the ice, too little of it, no stirring. `kitchen` ice with tap water is taken as warmer by 0.1 C on average, standard
 * deviation 0.19 C, so that even half a degree is no surprise; `packed` is finely crushed ice of distilled water,
 * packed to the bottom and drained (ASTM E563 makes 0.002 C of it): 0.02 C. Both common practice, no source.
 * `number` distinguishes baths of one session.
 */
export function iceBath(number = 1, made: 'kitchen' | 'packed' = 'kitchen'): Bath {
  const kitchen = made === 'kitchen';
  return {
    kind: 'ice',
    temperatureC: 0,
    errors: [
      {
        key: `ice-${number}`,
        source: 'ice bath',
        distribution: 'normal',
        standardUncertaintyC: kitchen ? 0.19 : 0.03,
        biasC: kitchen ? 0.1 : 0.02,
      },
      {
        key: 'salts',
        source: 'salts of the water',
        distribution: 'normal',
        standardUncertaintyC: kitchen ? saltsC : saltsC / 10,
        biasC: kitchen ? -saltsC : 0,
      },
    ],
    conditions: { packed: kitchen ? 0 : 1 },
  };
}

/** Where the pressure came from: it decides how well the boiling point is known. */
export type Pressure =
  /**
   * A barometer in the place; read to 1 hPa (standard 0.6). It may be set to sea level without its owner knowing: altitude
   * and weather report say whether that matters and whether it is so.
   */
  | {
      readonly from: 'station';
      readonly hectopascals: number;
      readonly altitudeM?: number | undefined;
      /** Sea-level pressure of a weather report that agrees with it. */
      readonly qnhHectopascals?: number | undefined;
    }
  /** A weather report's sea-level value and the altitude; 1.5 hPa standard, with 5 m of altitude. */
  | { readonly from: 'qnh'; readonly hectopascals: number; readonly altitudeM: number }
  /** Altitude alone: the weather is unknown, about 10 hPa standard (common practice, no source). */
  | { readonly from: 'altitude'; readonly altitudeM: number };

export const standardUncertaintyOfPressure = { station: 0.6, qnh: 1.5, altitude: 10 } as const;

/** Without an altitude a barometer may be anywhere up to here, m: higher up its value would show it. */
const unknownAltitudeM = 300;

/**
 * How far a barometer's value is above the pressure of its place if it is set to sea level, in hPa: the limit of what is not
 * known of a `station` pressure. 0 for one that a weather report agrees with, and for the other kinds.
 */
export function seaLevelDoubtHectopascals(pressure: Pressure): number {
  if (pressure.from !== 'station' || pressure.qnhHectopascals !== undefined) return 0;
  const { hectopascals, altitudeM = unknownAltitudeM } = pressure;
  return (
    hectopascals * Math.abs(1 - standardPressureHectopascals(altitudeM) / standardPressureHectopascals(0))
  );
}

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
 * Water at a full rolling boil in an open pot, the probe off the bottom. Superheat, depth (0.03 C per cm) and salts make it
 * hotter, steam that mixes with air colder: 0.05 C hotter on average, standard deviation 0.15 C (common practice, no
 * source); the pressure leaves its share.
 */
export function boilingBath(pressure: Pressure, number = 1): Bath {
  const station = stationPressureOf(pressure);
  const u = standardUncertaintyOfPressure[pressure.from];
  const slope = boilingSlopeCPerHectopascal(station);
  const seaLevel = seaLevelDoubtHectopascals(pressure);
  const qnhHpa =
    pressure.from === 'qnh'
      ? pressure.hectopascals
      : pressure.from === 'station'
        ? pressure.qnhHectopascals
        : undefined;
  return {
    kind: 'boiling',
    temperatureC: boilingC(station),
    errors: [
      {
        key: `boiling-${number}`,
        source: 'boiling bath',
        distribution: 'normal',
        standardUncertaintyC: 0.15,
        biasC: 0.05,
      },
      {
        key: 'pressure',
        source: 'pressure',
        distribution: 'normal',
        standardUncertaintyC: u * slope,
      },
      ...(seaLevel > 0
        ? [
            {
              key: 'sea-level',
              source: 'barometer that may be set to sea level',
              distribution: 'normal',
              // Even odds: nothing, or all of it.
              standardUncertaintyC: (seaLevel * slope) / Math.SQRT2,
            } as const,
          ]
        : []),
    ],
    conditions: {
      stationPressureHpa: station,
      pressureUncertaintyHpa: u,
      ...(pressure.altitudeM === undefined ? {} : { altitudeM: pressure.altitudeM }),
      ...(qnhHpa === undefined ? {} : { qnhHpa }),
    },
  };
}

/**
 * A stirred bath read by a reference thermometer of known standard uncertainty, which errs alike at all its points. Two
 * thermometers err each by itself where their certificates say that they are two.
 */
export function referenceBath(
  temperatureC: number,
  standardUncertaintyC: number,
  number = 1,
  reference?: ReferenceThermometer,
): Bath {
  return {
    ...(reference && { reference }),
    kind: 'reference',
    temperatureC,
    errors: [
      {
        key: `reference-${number}`,
        source: 'reference bath',
        distribution: 'rectangular',
        standardUncertaintyC: rectangular(0.1),
      },
      {
        key: `reference-thermometer${reference ? ` ${reference.certificate}` : ''}`,
        source: 'reference thermometer',
        distribution: 'normal',
        standardUncertaintyC,
      },
    ],
    conditions: { thermometerUncertaintyC: standardUncertaintyC, spreadC: 0.1 },
  };
}
