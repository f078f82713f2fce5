import { z } from 'zod';

// The three laws as kit files and certificates write them; each file sets its own bounds on the first.

/** Two numbers from a datasheet: R = r25 exp(beta (1/T - 1/298.15 K)). Good near 25 C, degrees wrong at 100 C. */
export const betaLaw = z.strictObject({
  law: z.literal('beta'),
  r25Ohms: z.number().positive(),
  betaK: z.number().positive(),
});

/** Steinhart and Hart (1968) with three terms: 1/T = a + b L + c L^3, L = ln(R / 1 ohm), T in kelvin. */
export const steinhartHartLaw = z.strictObject({
  law: z.literal('steinhart-hart'),
  a: z.number(),
  b: z.number(),
  c: z.number(),
});

/** The same with the square term kept, as makers print it: 1/T = a + b L + c L^2 + d L^3, L = ln(R / referenceOhms). */
export const steinhartHart4Law = z.strictObject({
  law: z.literal('steinhart-hart-4'),
  a: z.number(),
  b: z.number(),
  c: z.number(),
  d: z.number(),
  referenceOhms: z.number().positive(),
});

export const thermistorLaw = z.discriminatedUnion('law', [betaLaw, steinhartHartLaw, steinhartHart4Law]);

export type SteinhartHart4Law = Readonly<z.infer<typeof steinhartHart4Law>>;
export type ThermistorLaw = Readonly<z.infer<typeof thermistorLaw>>;
