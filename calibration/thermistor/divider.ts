import { z } from 'zod';
import { finite, ThermometryError } from '../errors.js';
import type { ThermistorLaw } from './law-schema.js';
import { thermistorSlopeCPerOhm } from './laws.js';

/**
 * A thermistor and a fixed resistor across the supply that is also the converter's reference, so that the supply
 * cancels. `low`: thermistor from the pin to ground; `high`: thermistor from the supply to the pin.
 */
export const dividerSchema = z.strictObject({
  resistorOhms: z.number().positive(),
  thermistorSide: z.enum(['low', 'high']),
  /** Both leads of the thermistor together, taken off the result; 0 when short. */
  leadOhms: z.number().min(0).optional(),
});
export type Divider = Readonly<z.infer<typeof dividerSchema>>;

/**
 * A converter's answer. `fullScale` is the count of the whole supply. A code n of a 10-bit converter
 * covers n/1024 to (n+1)/1024 of it, so the least biased reading is `{ counts: n + 0.5, fullScale: 1024 }`.
 */
export type Counts = { readonly counts: number; readonly fullScale: number };

/** Resistance of the thermistor. Throws at the rails, where the answer would be a short or an open wire, not a temperature. */
export function dividerOhms({ counts, fullScale }: Counts, divider: Divider): number {
  finite(counts, 'counts');
  if (!(fullScale > 0 && Number.isFinite(fullScale)))
    throw new ThermometryError('not-physical', `fullScale ${fullScale} must be above zero.`);
  if (!(divider.resistorOhms > 0 && Number.isFinite(divider.resistorOhms)))
    throw new ThermometryError('not-physical', `resistorOhms ${divider.resistorOhms} must be above zero.`);
  if (counts <= 0 || counts >= fullScale) {
    const atGround = counts <= 0;
    const open = atGround === (divider.thermistorSide === 'high');
    throw new ThermometryError(
      'at-rail',
      `${counts} of ${fullScale} counts is at the rail: the thermistor is ${open ? 'open' : 'shorted'}, or the fixed resistor is ${open ? 'shorted' : 'open'}. Check the wiring.`,
    );
  }
  const ratio =
    divider.thermistorSide === 'low' ? counts / (fullScale - counts) : (fullScale - counts) / counts;
  const ohms = divider.resistorOhms * ratio - (divider.leadOhms ?? 0);
  if (ohms > 0) return ohms;
  throw new ThermometryError(
    'at-rail',
    `The leads (${divider.leadOhms} ohms) are all there is: the thermistor is shorted.`,
  );
}

/** The count a thermistor of `ohms` gives, not rounded. Throws for a resistance that is not positive. */
export function dividerCounts(ohms: number, fullScale: number, divider: Divider): number {
  if (!(ohms > 0)) throw new ThermometryError('not-physical', `${ohms} ohms must be above zero.`);
  const total = ohms + (divider.leadOhms ?? 0);
  const share = total / (total + divider.resistorOhms);
  return fullScale * (divider.thermistorSide === 'low' ? share : 1 - share);
}

/** Size of one count in degrees at this resistance (positive): how finely the divider can see. */
export function degreesPerCount(
  ohms: number,
  fullScale: number,
  divider: Divider,
  law: ThermistorLaw,
): number {
  const total = ohms + (divider.leadOhms ?? 0);
  const ohmsPerCount = (total + divider.resistorOhms) ** 2 / (divider.resistorOhms * fullScale);
  return Math.abs(thermistorSlopeCPerOhm(law, ohms)) * ohmsPerCount;
}

/**
 * How far a thermistor heats itself: the power in it over its dissipation constant (datasheet; about 2 mW/K in still
 * air and several times that in water, common practice, no source). Watts are supply^2 R / (R + Rfixed)^2.
 */
export function selfHeatingC(input: {
  readonly ohms: number;
  readonly supplyVolts: number;
  readonly resistorOhms: number;
  readonly dissipationWattsPerC: number;
}): number {
  const watts = (input.supplyVolts ** 2 * input.ohms) / (input.ohms + input.resistorOhms) ** 2;
  if (input.dissipationWattsPerC > 0) return watts / input.dissipationWattsPerC;
  throw new ThermometryError(
    'not-physical',
    `dissipationWattsPerC ${input.dissipationWattsPerC} must be above zero.`,
  );
}
