import { z } from 'zod';

/** The electrical quantity of one reading. Ohms for a thermistor, microvolts for a thermocouple, volts for an AD8495. */
export const signalSchema = z.strictObject({
  raw: z.number(),
  rawUnit: z.enum(['ohm', 'microvolt', 'volt']),
  coldJunctionC: z.number().optional(),
});
export type ElectricalSignal = Readonly<z.infer<typeof signalSchema>>;

/** A temperature and its standard uncertainty (k = 1). */
export type UncertainTemperature = { readonly temperatureC: number; readonly standardUncertaintyC: number };
