import {
  type Bath,
  boilingBath,
  iceBath,
  type Pressure,
  pressureTyped,
  type ReferenceThermometer,
  referenceBath,
  referenceStandardUncertaintyC,
} from '../../calibration/index.js';
import { type Degrees, degreesIn } from '../wording/degrees.js';
import { metresTyped } from '../wording/typed-units.js';
import { numberFrom, refusing } from './convert/numbers.js';
import { UsageError } from './exit.js';
import { textOption } from './usual-options.js';

/** Where the boat is, for the boiling point. */
export const placeOptions = {
  'pressure-hpa': textOption(
    'Pressure of the place: a barometer aboard that is not set to sea level; 1009, 29.8inHg or 757mmHg. Give --altitude-m too: it is checked against it',
  ),
  'qnh-hpa': textOption(
    'Sea-level pressure of a weather report, 1013 or 29.92inHg, with --altitude-m; with --pressure-hpa it checks the barometer',
  ),
  'altitude-m': textOption(
    'Altitude in m, or such as 980ft; alone it leaves the weather unknown (0.5 C at the boil)',
  ),
} as const;

export type Place = {
  readonly pressureHpa?: string | undefined;
  readonly qnhHpa?: string | undefined;
  readonly altitudeM?: string | undefined;
};

const names = { barometer: '--pressure-hpa', report: '--qnh-hpa', altitude: '--altitude-m' } as const;

/** Metres of `300`, `300 m` or `980 ft`. */
export const typedAltitude = (text: string): number =>
  metresTyped(text) ?? numberFrom(text, `${names.altitude}, in metres or with its unit such as 980ft`);

/** The pressure that the options give, or undefined when they give none. Throws an error of usage for one that contradicts itself. */
export const pressureFrom = ({ pressureHpa, qnhHpa, altitudeM }: Place): Pressure | undefined =>
  pressureTyped(
    {
      barometer: pressureHpa,
      report: qnhHpa,
      altitudeM: altitudeM === undefined ? undefined : typedAltitude(altitudeM),
    },
    names,
  );

/**
 * `ice`, `packed-ice`, `boiling` or `T:u`: what a reference thermometer reads and its standard uncertainty, both in Celsius, or both in
 * Fahrenheit when T ends in F. A person who reads Fahrenheit must say which, since 140 could be meant as either.
 */
export function bathFrom(
  text: string,
  pressure: Pressure | undefined,
  number: number,
  reader: Degrees,
  reference?: Dated,
): Bath {
  if (text === 'ice') return iceBath(number);
  if (text === 'packed-ice') return iceBath(number, 'packed');
  if (text === 'boiling') {
    if (!pressure)
      throw new UsageError(
        'The boiling point depends on air pressure: give --pressure-hpa, --qnh-hpa with --altitude-m, or --altitude-m.',
      );
    return boilingBath(pressure, number);
  }
  const parsed = /^([^:]*?)([CF]?)(?::([^:]*))?$/i.exec(text) ?? [];
  const [, temperature, letter] = parsed;
  const uncertainty =
    parsed[3] ??
    (reference &&
      `${refusing('--reference', () => referenceStandardUncertaintyC(reference.thermometer, reference.today))}`);
  if (temperature === undefined || uncertainty === undefined)
    throw new UsageError(
      `--bath "${text}": say ice, packed-ice, boiling, or T:u such as 60.2:0.1 or 140.4F:0.2 (reference thermometer and its standard uncertainty; Celsius unless T ends in F).`,
    );
  if (letter === '' && reader.scale === 'fahrenheit')
    throw new UsageError(
      `--bath "${text}": you read Fahrenheit, so say which it is: ${temperature}F:${uncertainty} or ${temperature}C:${uncertainty}.`,
    );
  const typed = degreesIn(letter?.toUpperCase() === 'F' ? 'fahrenheit' : 'celsius');
  const u = numberFrom(uncertainty, '--bath');
  if (!(u > 0)) throw new UsageError(`--bath "${text}": the uncertainty must be above zero.`);
  const certified = parsed[3] === undefined ? reference?.thermometer : undefined;
  return referenceBath(
    typed.pointC(numberFrom(temperature, '--bath')),
    certified ? u : typed.spanC(u),
    number,
    certified,
  );
}

/** A reference thermometer, and the day it is used on. */
export type Dated = { readonly thermometer: ReferenceThermometer; readonly today: string };

export const referenceOption = {
  reference: textOption(
    'The certificate of your reference thermometer, for --bath T without :u: number,day,U,k,drift a year, such as "L-1234,2026-02-01,0.10,2,0.02" (degrees Celsius)',
  ),
} as const;

/** The thermometer of `--reference`, which some bath of these must be read by; undefined without it. */
export function referenceFor(
  text: string | undefined,
  baths: readonly string[],
  today: string,
): Dated | undefined {
  if (text === undefined) return undefined;
  if (!baths.some((bath) => /^[\d.+-]+[CF]?$/i.test(bath)))
    throw new UsageError(
      '--reference: no bath is read by it. Give the bath as --bath T without :u, such as --bath 60.2 (its uncertainty comes from the certificate).',
    );
  return { thermometer: referenceFrom(text), today };
}

/** Reads `number,day,U,k,drift`. Throws `UsageError` naming what is wrong. */
function referenceFrom(text: string): ReferenceThermometer {
  const [certificate = '', calibratedOn = '', u = '', k = '', drift = '', ...more] = text
    .split(',')
    .map((part) => part.trim());
  const [expandedUncertaintyC, coverageFactor, driftCPerYear] = [u, k, drift].map((n) =>
    numberFrom(n, '--reference'),
  ) as [number, number, number];
  const good =
    certificate !== '' && /^\d{4}-\d\d-\d\d$/.test(calibratedOn) && !Number.isNaN(Date.parse(calibratedOn));
  if (!good || more.length > 0 || !(expandedUncertaintyC > 0) || !(coverageFactor >= 1) || driftCPerYear < 0)
    throw new UsageError(
      `--reference "${text}": give number,day,U,k,drift as the certificate states them, such as "L-1234,2026-02-01,0.10,2,0.02": U above zero, k of 1 or more.`,
    );
  return { certificate, calibratedOn, expandedUncertaintyC, coverageFactor, driftCPerYear };
}
