import { type SettlingRules, usualRules } from '../../calibration/index.js';
import { numberFrom } from './convert/numbers.js';
import { UsageError } from './exit.js';

/** When a probe in a bath counts as settled, and how long to wait for it. */
export const settlingOptions = {
  'hold-s': {
    type: 'string',
    requiresArg: true,
    default: `${usualRules.holdS}`,
    describe: 'Shortest settled stretch',
  },
  'trend-c-per-min': {
    type: 'string',
    requiresArg: true,
    default: `${usualRules.trendCPerMin}`,
    describe: 'Largest trend that counts as settled, in C also for who reads Fahrenheit',
  },
  'timeout-s': {
    type: 'string',
    requiresArg: true,
    default: '1200',
    describe: 'Longest wait for one bath',
  },
} as const;

type Settling = {
  readonly holdS: string;
  readonly trendCPerMin: string;
  readonly timeoutS: string;
};

/** Throws `UsageError` for what is no number above zero. */
export const settlingFrom = ({
  holdS,
  trendCPerMin,
  timeoutS,
}: Settling): { readonly rules: SettlingRules; readonly timeoutS: number } => ({
  rules: { holdS: positive(holdS, '--hold-s'), trendCPerMin: positive(trendCPerMin, '--trend-c-per-min') },
  timeoutS: positive(timeoutS, '--timeout-s'),
});

function positive(text: string, option: string): number {
  const value = numberFrom(text, option);
  if (value > 0) return value;
  throw new UsageError(`${option} is ${text}; it must be above zero.`);
}
