import { expect, it } from 'vitest';
import { limitTroubles } from '../../../host/page/set-up/limit-troubles.js';

const warning = { raiseAtC: 68, clearAtC: 64, holdS: 2 };
const alarm = { raiseAtC: 75, clearAtC: 70, holdS: 2 };

it.each([
  ['both as they should be', { warning, alarm }, []],
  ['one alone', { alarm }, []],
  [
    'ending above its limit',
    { alarm: { ...alarm, clearAtC: 75 } },
    ['Alarm: “Ends below” must be lower than “Above”.'],
  ],
  [
    'without a hold',
    { warning: { ...warning, holdS: 0 } },
    ['Warning: “After” must be at least 1 s, or a single wrong reading raises it.'],
  ],
  [
    'a warning that comes last',
    { warning: { ...warning, raiseAtC: 76 }, alarm },
    ['The warning must be below the alarm, so that it comes first.'],
  ],
] as const)('limits %s', (_, limits, troubles) => {
  expect(limitTroubles(limits)).toEqual(troubles);
});
