import { z } from 'zod';
import {
  type Bath,
  boilingBath,
  iceBath,
  pressureTyped,
  referenceBath,
  referenceStandardUncertaintyC,
  ThermometryError,
} from '../../calibration/index.js';
import { metresTyped } from '../wording/typed-units.js';

/** As on the command line: a pressure is text, because its unit belongs to it; an altitude is metres or text such as `980 ft`. */
export const bathRequest = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('ice'), made: z.enum(['kitchen', 'packed']).default('kitchen') }),
  z.strictObject({
    kind: z.literal('boiling'),
    barometer: z.string().max(40).optional(),
    report: z.string().max(40).optional(),
    altitudeM: z.union([z.number(), z.string().max(40)]),
  }),
  z.strictObject({
    kind: z.literal('reference'),
    temperatureC: z.number().min(-40).max(300),
    thermometer: z.union([
      z.strictObject({ standardUncertaintyC: z.number().min(0.001).max(5) }),
      z.strictObject({
        certificate: z.string().trim().min(1).max(80),
        calibratedOn: z.iso.date(),
        expandedUncertaintyC: z.number().positive().max(10),
        coverageFactor: z.number().min(1).max(5),
        driftCPerYear: z.number().min(0).max(10),
      }),
    ]),
  }),
]);

const names = { barometer: 'Barometer', report: 'Weather report', altitude: 'the altitude' } as const;

/** The bath of a request. Throws `ThermometryError` for a pressure or altitude that cannot be. */
export const bathOf = (request: z.infer<typeof bathRequest>, number: number, today: string): Bath => {
  switch (request.kind) {
    case 'ice':
      return iceBath(number, request.made);
    case 'boiling': {
      const altitudeM = altitudeOf(request.altitudeM);
      return boilingBath(
        pressureTyped({ ...request, altitudeM }, names) ?? { from: 'altitude', altitudeM },
        number,
      );
    }
    case 'reference': {
      const { thermometer, temperatureC } = request;
      if ('standardUncertaintyC' in thermometer)
        return referenceBath(temperatureC, thermometer.standardUncertaintyC, number);
      const u = referenceStandardUncertaintyC(thermometer, today);
      return referenceBath(temperatureC, u, number, thermometer);
    }
  }
};

/** Metres of `300` or `980 ft`, between the lowest shore and the highest lake with boats. */
const altitudeOf = (typed: number | string): number => {
  const altitudeM = metresTyped(String(typed));
  if (altitudeM === undefined)
    throw new ThermometryError(
      'not-physical',
      `Altitude: "${typed}" is not an altitude. Write it like 3 or 980ft.`,
    );
  if (altitudeM >= -450 && altitudeM <= 5000) return altitudeM;
  throw new ThermometryError('not-physical', `Altitude: no boat floats at ${altitudeM} m.`);
};
