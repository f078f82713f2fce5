import { z } from 'zod';
import { analoguePin } from '../channels/fields.js';

/** A shunt in the 0 V of the buzzer's two transistors, read back on an analogue pin. `elbowroom plan` gives its value. */
export const buzzerCurrent = z.strictObject({
  pin: analoguePin,
  shuntOhms: z.number().min(0.5).max(100),
  /** What the buzzer takes by its data sheet. */
  ratedMilliamps: z.number().min(1).max(500),
  supplyVolts: z.number().min(3).max(5.5).default(5),
});
export type BuzzerCurrentWiring = z.infer<typeof buzzerCurrent>;

/**
 * Less than this is no sound, mA: a fifth of the rated current. A tone is current in pulses, whose mean may be half of it;
 * the board's converter is true to two counts (ATmega328P data sheet, absolute accuracy), and a planned shunt gives ten.
 */
export const leastMilliamps = ({ ratedMilliamps }: BuzzerCurrentWiring): number => ratedMilliamps / 5;

/** Close to the end of the scale nothing is measured: a shunt that is open lets the pin rise until it is clamped. */
export const mostMilliamps = ({ shuntOhms, supplyVolts }: BuzzerCurrentWiring): number =>
  0.95 * (supplyVolts / shuntOhms) * 1000;
