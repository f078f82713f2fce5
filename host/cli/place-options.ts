import {
  type Bath,
  boilingBath,
  doubtAboutPressure,
  iceBath,
  inHectopascals,
  type Pressure,
  type PressureUnit,
  pressureUnits,
  type ReferenceThermometer,
  referenceBath,
  referenceStandardUncertaintyC,
  stationPressureOf,
} from '../../calibration/index.js';
import { type Degrees, degreesIn } from '../wording/degrees.js';
import { numberFrom, refusing } from './convert/numbers.js';
import { UsageError } from './exit.js';

/** Where the boat lies, for the boiling point. */
export const placeOptions = {
  'pressure-hpa': {
    type: 'string',
    requiresArg: true,
    describe:
      'Pressure of the place: a barometer aboard that is not set to sea level; 1009, 29.8inHg or 757mmHg. Give --altitude-m too: it is checked against it',
  },
  'qnh-hpa': {
    type: 'string',
    requiresArg: true,
    describe:
      'Sea-level pressure of a weather report, with --altitude-m; with --pressure-hpa it checks the barometer',
  },
  'altitude-m': {
    type: 'string',
    requiresArg: true,
    describe: 'Altitude; alone it leaves the weather unknown (0.5 C at the boil)',
  },
} as const;

type Place = {
  readonly pressureHpa?: string | undefined;
  readonly qnhHpa?: string | undefined;
  readonly altitudeM?: string | undefined;
};

/** The pressure that the options give, or undefined when they give none. Throws `UsageError` for one that contradicts itself. */
export function pressureFrom({ pressureHpa, qnhHpa, altitudeM }: Place): Pressure | undefined {
  const altitude = altitudeM === undefined ? undefined : numberFrom(altitudeM, '--altitude-m');
  const qnh = qnhHpa === undefined ? undefined : typedPressure(qnhHpa, '--qnh-hpa');
  if (pressureHpa !== undefined) {
    const typed = typedPressure(pressureHpa, '--pressure-hpa');
    const doubt = refusing('', () =>
      doubtAboutPressure({
        ...typed,
        altitudeM: altitude,
        qnhHectopascals: qnh && inHectopascals(qnh.value, qnh.unit ?? 'hpa'),
      }),
    );
    if (doubt) throw new UsageError(`--pressure-hpa: ${doubt}`);
    return {
      from: 'station',
      hectopascals: inHectopascals(typed.value, typed.unit ?? 'hpa'),
      ...(altitude !== undefined && { altitudeM: altitude }),
    };
  }
  if (qnh) {
    if (altitude === undefined)
      throw new UsageError('--qnh-hpa is reduced to sea level; give --altitude-m with it.');
    const doubt = doubtAboutPressure({ ...qnh, altitudeM: 0 });
    if (doubt) throw new UsageError(`--qnh-hpa: ${doubt}`);
    return checked({
      from: 'qnh',
      hectopascals: inHectopascals(qnh.value, qnh.unit ?? 'hpa'),
      altitudeM: altitude,
    });
  }
  return altitude === undefined ? undefined : checked({ from: 'altitude', altitudeM: altitude });
}

/** `1009`, `1009hPa`, `29.8inHg`, `757 mmHg`: a number and the unit that is printed on the barometer. */
function typedPressure(
  text: string,
  option: string,
): { readonly value: number; readonly unit?: PressureUnit } {
  const [, number = text, letters] = /^(.*\d\.?)\s*([a-z]+)$/i.exec(text.trim()) ?? [];
  const unit = letters?.toLowerCase();
  const known = pressureUnits.find((u) => u === unit);
  if (unit !== undefined && known === undefined)
    throw new UsageError(
      `${option}: "${letters}" is no unit of pressure here; use hPa, mbar, kPa, inHg or mmHg.`,
    );
  return { value: numberFrom(number, option), ...(known && { unit: known }) };
}

function checked(pressure: Pressure): Pressure {
  refusing('', () => stationPressureOf(pressure));
  return pressure;
}

/**
 * `ice`, `packed-ice`, `boiling` or `T:u`: what a reference thermometer reads and its standard uncertainty, both in Celsius, or both in
 * Fahrenheit when T ends in F. Who reads Fahrenheit must say which, since 140 could be meant as either.
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
        'Where water boils depends on the air: give --pressure-hpa, --qnh-hpa with --altitude-m, or --altitude-m.',
      );
    return boilingBath(pressure, number);
  }
  const parsed = /^([^:]*?)([CF]?)(?::([^:]*))?$/i.exec(text) ?? [];
  const [, temperature, letter] = parsed;
  const uncertainty =
    parsed[3] ?? (reference && `${referenceStandardUncertaintyC(reference.thermometer, reference.today)}`);
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
  reference: {
    type: 'string',
    requiresArg: true,
    describe:
      'The certificate of your reference thermometer, for --bath T without :u: number,day,U,k,drift a year, such as "L-1234,2026-02-01,0.10,2,0.02" (degrees Celsius)',
  },
} as const;

/** Reads `number,day,U,k,drift`. Throws `UsageError` naming what is wrong. */
export function referenceFrom(text: string): ReferenceThermometer {
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
