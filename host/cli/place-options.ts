import {
  type Bath,
  boilingBath,
  iceBath,
  type Pressure,
  referenceBath,
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
    describe: 'Station pressure: what a barometer aboard reads, not set to sea level',
  },
  'qnh-hpa': {
    type: 'string',
    requiresArg: true,
    describe: 'Sea-level pressure of a weather report, with --altitude-m',
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

/** The pressure the options tell of, or undefined when they tell none. */
export function pressureFrom({ pressureHpa, qnhHpa, altitudeM }: Place): Pressure | undefined {
  const number = (text: string, option: string): number => numberFrom(text, option);
  if (pressureHpa !== undefined) {
    if (qnhHpa !== undefined || altitudeM !== undefined)
      throw new UsageError(
        '--pressure-hpa is the pressure of the place itself; give it alone. A weather report is --qnh-hpa with --altitude-m.',
      );
    return checked({ from: 'station', hectopascals: number(pressureHpa, '--pressure-hpa') });
  }
  if (qnhHpa !== undefined) {
    if (altitudeM === undefined)
      throw new UsageError('--qnh-hpa is reduced to sea level; give --altitude-m with it.');
    return checked({
      from: 'qnh',
      hectopascals: number(qnhHpa, '--qnh-hpa'),
      altitudeM: number(altitudeM, '--altitude-m'),
    });
  }
  return altitudeM === undefined
    ? undefined
    : checked({ from: 'altitude', altitudeM: number(altitudeM, '--altitude-m') });
}

/** A pressure nobody lives at is a slip of the pen, and a calibration would carry it for a year. */
function checked(pressure: Pressure): Pressure {
  const station = refusing('', () => stationPressureOf(pressure));
  if (station >= 500 && station <= 1090) return pressure;
  throw new UsageError(
    `${station.toFixed(1)} hPa is no air pressure at a place with boats (500 to 1090). Check the value.`,
  );
}

/**
 * `ice`, `boiling` or `T:u`: what a reference thermometer reads and its standard uncertainty, both in Celsius, or both in
 * Fahrenheit when T ends in F. Who reads Fahrenheit must say which, since 140 could be meant as either.
 */
export function bathFrom(
  text: string,
  pressure: Pressure | undefined,
  number: number,
  reader: Degrees,
): Bath {
  if (text === 'ice') return iceBath(number);
  if (text === 'boiling') {
    if (!pressure)
      throw new UsageError(
        'Where water boils depends on the air: give --pressure-hpa, --qnh-hpa with --altitude-m, or --altitude-m.',
      );
    return boilingBath(pressure, number);
  }
  const [, temperature, letter, uncertainty] = /^([^:]*?)([CF]?):([^:]*)$/i.exec(text) ?? [];
  if (temperature === undefined || uncertainty === undefined)
    throw new UsageError(
      `--bath "${text}": say ice, boiling, or T:u such as 60.2:0.1 or 140.4F:0.2 (reference thermometer and its standard uncertainty; Celsius unless T ends in F).`,
    );
  if (letter === '' && reader.scale === 'fahrenheit')
    throw new UsageError(
      `--bath "${text}": you read Fahrenheit, so say which it is: ${temperature}F:${uncertainty} or ${temperature}C:${uncertainty}.`,
    );
  const typed = degreesIn(letter?.toUpperCase() === 'F' ? 'fahrenheit' : 'celsius');
  const u = numberFrom(uncertainty, '--bath');
  if (!(u > 0)) throw new UsageError(`--bath "${text}": the uncertainty must be above zero.`);
  return referenceBath(typed.pointC(numberFrom(temperature, '--bath')), typed.spanC(u), number);
}
