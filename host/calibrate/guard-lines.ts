import {
  type Certificate,
  certificateName,
  guardBandC,
  guardedLimitC,
  usualLateChance,
} from '../../calibration/index.js';
import type { Kit } from '../../node/index.js';
import { type Degrees, pointText } from '../wording/degrees.js';

/** For every certified probe with an alarm: where to set it so that it sounds before its temperature is passed. */
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
      `${id}: to be warned before ${pointText(degrees, limitC)}, set the alarm to ${pointText(degrees, guardedLimitC(certificate, limitC))}: late in at most ${100 * usualLateChance} of 100 cases by its certificate.`,
    ];
  });

/** The guard band of a probe's certificate over its range, for a screen on which limits are moved. */
export type GuardBand = {
  readonly certificate: string;
  /** Share of cases in which an alarm inside the band is late all the same. */
  readonly lateChance: number;
  /** Rising; straight between two. */
  readonly steps: readonly { readonly limitC: number; readonly bandC: number }[];
};

export const guardBandOf = (certificate: Certificate): GuardBand => ({
  certificate: certificateName(certificate),
  lateChance: usualLateChance,
  steps: certificate.uncertainty.map(({ temperatureC: limitC, standardUncertaintyC }) => ({
    limitC,
    bandC: guardBandC(standardUncertaintyC),
  })),
});
