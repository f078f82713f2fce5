import { type Certificate, guardedLimitC, usualLateChance } from '../../calibration/index.js';
import type { Kit } from '../../node/index.js';
import { type Degrees, pointText } from '../wording/degrees.js';

/** For every certified probe with an alarm: where to set it so that its temperature is not passed unheard. */
export const guardLines = (
  kitProbes: Kit['probes'],
  certificates: Readonly<Record<string, Certificate>>,
  degrees: Degrees,
): readonly string[] =>
  kitProbes.flatMap(({ id, limits }) => {
    const certificate = certificates[id];
    const limitC = limits.alarm?.raiseAtC;
    if (!certificate || limitC === undefined) return [];
    return [
      `${id}: where ${pointText(degrees, limitC)} must not be passed unheard, set the alarm to ${pointText(degrees, guardedLimitC(certificate, limitC))}: late in at most ${100 * usualLateChance} of 100 cases by its certificate.`,
    ];
  });
