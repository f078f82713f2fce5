import { z } from 'zod';

/** Raise and clear are points on the scale; the condition must hold for `holdS` before the alert is raised. */
export const limit = z
  .strictObject({ raiseAtC: z.number(), clearAtC: z.number(), holdS: z.number().min(0).max(60) })
  .refine((l) => l.clearAtC < l.raiseAtC, { message: 'clearAtC must be below raiseAtC', path: ['clearAtC'] });
export type Limit = z.infer<typeof limit>;
