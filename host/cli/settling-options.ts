import { type SettlingRules, usualRules } from '../../calibration/index.js';
import { numberFrom } from './convert/numbers.js';
import { UsageError } from './exit.js';
import { textOption } from './usual-options.js';

/** When a probe in a bath counts as settled, and how long to wait for it. */
export const settlingOptions = {
  'hold-s': textOption(`Shortest settled stretch; ${usualRules.holdS} when absent`),
  'trend-c-per-min': textOption(
    `Largest trend that counts as settled, in C even if you read Fahrenheit; ${usualRules.trendCPerMin} when absent`,
  ),
  'timeout-s': { ...textOption('Longest wait for one bath'), default: '1200' },
} as const;

type Settling = {
  readonly holdS?: string | undefined;
  readonly trendCPerMin?: string | undefined;
  readonly timeoutS: string;
};

/** The usual rules, with the options that were given. Throws `UsageError` unless a value is above zero. */
export function settlingFrom({ holdS, trendCPerMin, timeoutS }: Settling): {
  readonly rules: SettlingRules;
  readonly asked: Partial<SettlingRules>;
  readonly timeoutS: number;
} {
  const asked = {
    ...(holdS !== undefined && { holdS: positive(holdS, '--hold-s') }),
    ...(trendCPerMin !== undefined && { trendCPerMin: positive(trendCPerMin, '--trend-c-per-min') }),
  };
  return { rules: { ...usualRules, ...asked }, asked, timeoutS: positive(timeoutS, '--timeout-s') };
}

function positive(text: string, option: string): number {
  const value = numberFrom(text, option);
  if (value > 0) return value;
  throw new UsageError(`${option} is ${text}; it must be above zero.`);
}
