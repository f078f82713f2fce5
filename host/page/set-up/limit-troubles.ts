import type { ProbeNow } from '../../serve/now.js';

export type Limit = NonNullable<ProbeNow['limits']['alarm']>;
export type Kind = 'warning' | 'alarm';
export type Limits = { readonly [kind in Kind]?: Limit | undefined };

/** Shorter than this one spike of a converter could raise an alert; our choice, one reading of the stored second. */
const shortestHoldS = 1;

/** What is wrong with limits as they are typed, in the words of the form. Empty when they can be saved. */
export const limitTroubles = (limits: Limits): readonly string[] => {
  const troubles = (['warning', 'alarm'] as const).flatMap((kind) => {
    const limit = limits[kind];
    const name = kind === 'alarm' ? 'Alarm' : 'Warning';
    return limit
      ? [
          ...(limit.clearAtC >= limit.raiseAtC ? [`${name}: “Ends below” must be lower than “Above”.`] : []),
          ...(limit.holdS < shortestHoldS
            ? [`${name}: “After” must be at least ${shortestHoldS} s, or a single wrong reading raises it.`]
            : []),
        ]
      : [];
  });
  const { warning, alarm } = limits;
  if (warning && alarm && warning.raiseAtC >= alarm.raiseAtC)
    troubles.push('The warning must be below the alarm, so that it comes first.');
  return troubles;
};
