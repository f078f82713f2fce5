import { z } from 'zod';
import type { ThermistorLaw } from './laws.js';

/** The three laws as kit files and certificates write them; each file sets its own bounds on the first. */
export const betaLaw = z.strictObject({
  law: z.literal('beta'),
  r25Ohms: z.number().positive(),
  betaK: z.number().positive(),
});
export const steinhartHartLaw = z.strictObject({
  law: z.literal('steinhart-hart'),
  a: z.number(),
  b: z.number(),
  c: z.number(),
});
export const steinhartHart4Law = z.strictObject({
  law: z.literal('steinhart-hart-4'),
  a: z.number(),
  b: z.number(),
  c: z.number(),
  d: z.number(),
  referenceOhms: z.number().positive(),
});

export const thermistorLaw = z.discriminatedUnion('law', [
  betaLaw,
  steinhartHartLaw,
  steinhartHart4Law,
]) satisfies z.ZodType<ThermistorLaw>;
