import { z } from 'zod';
import { checkYaml } from '../kit/check-yaml.js';
import { bins, type ElbowBaseline } from './baseline.js';
import { boundParts, type NormalBounds } from './normal-bounds.js';

const kelvin = z.number().min(-500).max(2000);
const elbow = z.strictObject({
  /** Whether the learned detector may use it. `elbowroom commission` decides; turn it off here if you must. */
  armed: z.boolean(),
  /** Why it is not armed. */
  because: z.array(z.string()).default([]),
  /** Lead the spreads were measured with, s; a guard with another lead does not arm. */
  leadS: z.number().min(0).max(60),
  secondsLearned: z.number().int().min(0),
  /**
   * Of 1, a, b, c, b^2 / 100 and (a - b)^2 / 100 where a < b; a, b, c are the exhaust gas 6, 22 and 110 s ago. Then of
   * the sea less its middle, s, and of s b / 100; files of the first version end before these.
   */
  coefficients: z.union([z.array(z.number()).length(6), z.array(z.number()).length(8)]),
  /** The sea that was met, C. */
  seaC: z.strictObject({ min: kelvin, max: kelvin, middle: kelvin }).optional(),
  exhaustC: z.strictObject({ min: kelvin, max: kelvin }),
  highestRiseK: kelvin,
  /** The same with each second led by its slope; files of 0.2.0 and before end without it. */
  highestLedRiseK: kelvin.optional(),
  /** Fastest rise of normal running, K/s; files of 0.2.0 and before end without it. */
  fastestCPerS: z.number().min(0).max(100).optional(),
  /** What at least two trips of commissioning reached: the highest rise, and the fastest that lasted two seconds, K/s. */
  ofTwoTrips: z.strictObject({ highestRiseK: kelvin, fastestCPerS: z.number().min(0).max(100) }).optional(),
  /** Written where too wide a spread is all that keeps it from being armed: highest rises that lasted, by sixths of the exhaust gas. */
  boundsK: z.array(kelvin).length(boundParts).optional(),
  /** Highest half-minute mean of the residual in steady running. */
  steadyMeanK: kelvin.optional(),
  /** As the spreads, while the gas falls and the surge after a closed throttle has passed; the file keeps the name of its first version. */
  afterSwellK: kelvin.optional(),
  /** After a cold start, until the throttle is first opened: as the spreads, the highest rise, and for how long it was met. */
  coldIdle: z
    .strictObject({ q998K: kelvin, highestRiseK: kelvin, untilS: z.number().min(0).max(3600) })
    .optional(),
  /** Highest rise in the first 35 s that two cold starts reached. */
  coldStartRiseK: kelvin.optional(),
  /** As the spreads, of the residual against its own mean while the gas is level. */
  levelChange: z.strictObject({ steadyK: kelvin, settlingK: kelvin }).optional(),
  /** As the spreads, of the residual above the twin's. */
  twinApart: z.strictObject({ steadyK: kelvin, movingK: kelvin }).optional(),
  /** Exhaust gas against the twin's: what is usual and how far it strays. */
  twinExhaust: z.strictObject({ middleK: kelvin, spreadK: z.number().min(1) }).optional(),
  spread: z.strictObject(
    Object.fromEntries(
      bins.map((bin) => [bin, z.strictObject({ q998K: kelvin, seconds: z.number().int().min(0) })]),
    ) as Record<(typeof bins)[number], z.ZodObject<{ q998K: typeof kelvin; seconds: z.ZodNumber }>>,
  ),
  /** Limits that the recorded running leaves room for. Proposals: the kit decides. */
  proposedLimits: z
    .strictObject({
      warning: z.strictObject({ raiseAtC: z.number(), clearAtC: z.number(), holdS: z.number() }),
      alarm: z.strictObject({ raiseAtC: z.number(), clearAtC: z.number(), holdS: z.number() }),
    })
    .optional(),
});

export const baselineSchema = z.strictObject({
  /** Version of this file's layout. */
  baseline: z.literal(1),
  /** Counts up with every commissioning of this boat. */
  issue: z.number().int().min(1),
  boat: z.string(),
  madeAt: z.string(),
  learnedFrom: z.strictObject({ from: z.string(), to: z.string(), trips: z.number().int().min(0) }),
  /** The owner's word that the buzzer was heard at the helm, when it was given, and which probes were dipped hot until then. */
  buzzer: z.strictObject({ confirmedAt: z.string(), dipped: z.array(z.string()) }).optional(),
  elbows: z.record(z.string(), elbow),
});

/** What commissioning learned of a boat, as the file says it. */
export type BaselineFile = z.infer<typeof baselineSchema>;

/** Reads a baseline file (YAML). Throws `NodeError` `settings-wrong` with line, column and what was expected. */
export const parseBaseline = (text: string, file: string): BaselineFile =>
  checkYaml(text, baselineSchema, { file, next: 'Make it again: elbowroom commission' });

/** The learned model of one probe, if it may be used with a detector of this lead. */
export function armedBaseline(file: BaselineFile, probe: string, leadS: number): ElbowBaseline | undefined {
  const learned = file.elbows[probe];
  if (!learned?.armed || learned.leadS !== leadS) return undefined;
  const { coefficients, exhaustC, seaC, highestRiseK, highestLedRiseK, steadyMeanK, spread } = learned;
  const { twinExhaust, fastestCPerS, ofTwoTrips, coldIdle, coldStartRiseK, levelChange, twinApart } = learned;
  const { afterSwellK: afterSurgeK } = learned;
  return {
    coefficients,
    gasC: exhaustC,
    highestRiseK,
    spread,
    ...(highestLedRiseK !== undefined && { highestLedRiseK }),
    ...(fastestCPerS !== undefined && { fastestCPerS }),
    ...(ofTwoTrips && { ofTwoTrips }),
    ...(steadyMeanK !== undefined && { steadyMeanK }),
    ...(afterSurgeK !== undefined && { afterSurgeK }),
    ...(coldIdle && { coldIdle }),
    ...(coldStartRiseK !== undefined && { coldStartRiseK }),
    ...(levelChange && { levelChange }),
    ...(twinApart && { twinApart }),
    ...(seaC && { seaC }),
    ...(twinExhaust && { twinExhaust }),
  };
}

/** The bounds of normal running of a probe that was met but not armed, if the file has them. */
export function unarmedBounds(file: BaselineFile, probe: string): NormalBounds | undefined {
  const learned = file.elbows[probe];
  return learned?.boundsK && !learned.armed ? { gasC: learned.exhaustC, risesK: learned.boundsK } : undefined;
}
