import { expect, test } from 'vitest';
import { missingReasons, type Reading } from '../../../node/reading/reading.js';
import { ReadingTally } from '../../../node/reading/reading-tally.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

const reading = (probe: string, result: Reading['result']): Reading => ({
  probe,
  readAtMs: asMonotonicMs(0),
  result,
});

test('every reading is counted once: good, doubtful or missing, probe by probe', () => {
  const tally = new ReadingTally();
  tally.add(
    reading('port', { kind: 'measured', quantity: 'temperature', temperatureC: 40, uncertaintyC: 0.3 }),
  );
  for (const reason of missingReasons) tally.add(reading('port', { kind: 'missing', reason }));
  tally.add(reading('sea', { kind: 'missing', reason: 'board-away' }));
  expect(tally.all()).toEqual({
    port: { good: 1, doubtful: 6, missing: 6 },
    sea: { good: 0, doubtful: 0, missing: 1 },
  });
  expect(tally.of('unknown')).toEqual({ good: 0, doubtful: 0, missing: 0 });
});
