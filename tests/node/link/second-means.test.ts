import { describe, expect, test } from 'vitest';
import { type Converter, converterFor } from '../../../node/convert/converter.js';
import { SecondMeans } from '../../../node/link/second-means.js';
import type { MissingReason, Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { ntcOn, probeWith } from '../kit-with.js';

const converter: Converter = converterFor(probeWith(ntcOn('A0')));
const rig = () => new SecondMeans(new Map([['p0', converter]]));
const measured = (raw: number, readAtMs = 500): Reading => ({
  probe: 'p0',
  readAtMs: asMonotonicMs(readAtMs),
  signal: { raw, rawUnit: 'ohm' },
  result: { kind: 'measured', quantity: 'temperature', temperatureC: 0, uncertaintyC: 0.7 },
});
const missing = (reason: MissingReason): Reading => ({
  probe: 'p0',
  readAtMs: asMonotonicMs(500),
  result: { kind: 'missing', reason },
});
const end = asMonotonicMs(1000);

describe('one reading a second', () => {
  test('is the mean resistance to 0.01 ohm, converted once, at the mean time', () => {
    const means = rig();
    means.add(measured(9_999, 100));
    means.add(measured(10_000, 200));
    means.add(measured(10_000.999, 600));
    const [reading] = means.take(end);
    expect(reading).toEqual({
      probe: 'p0',
      readAtMs: 300,
      signal: { raw: 10_000, rawUnit: 'ohm' },
      result: {
        ...converter.measured({ raw: 10_000, rawUnit: 'ohm' }),
        uncertaintyC: expect.closeTo(0.7, 9),
      },
    });
  });

  test('counts as measured while at least half of its samples were', () => {
    const means = rig();
    means.add(measured(10_000));
    means.add(missing('open'));
    expect(means.take(end)[0]?.result.kind).toBe('measured');
    means.add(measured(10_000));
    means.add(missing('open'));
    means.add(missing('short'));
    means.add(missing('open'));
    expect(means.take(end)[0]).toEqual({
      probe: 'p0',
      readAtMs: 1000,
      result: { kind: 'missing', reason: 'open' },
    });
  });

  test('of a chip asked every other second keeps its last word; of one that was never read is stale', () => {
    const means = rig();
    expect(means.take(end)[0]?.result).toEqual({ kind: 'missing', reason: 'stale' });
    means.add(missing('no-answer'));
    expect(means.take(end)[0]?.result).toEqual({ kind: 'missing', reason: 'no-answer' });
    expect(means.take(end)[0]?.result).toEqual({ kind: 'missing', reason: 'no-answer' });
  });

  test('of a probe that was good and fell silent is none for 4 s, then stale, never the old value again', () => {
    const means = rig();
    means.add(missing('open'));
    means.take(end);
    means.add(measured(10_000, 1500));
    const after = Array.from({ length: 7 }, (_, i) => means.take(asMonotonicMs(2000 + i * 1000)));
    const said = after.map(([reading]) =>
      reading?.result.kind === 'missing' ? reading.result.reason : reading?.result.kind,
    );
    expect(said).toEqual(['measured', undefined, undefined, undefined, 'stale', 'stale', 'stale']);
  });

  test('of a chip that misses a second on a busy bus is never stale', () => {
    const means = rig();
    for (let second = 0; second < 60; second++) {
      if (second % 3 === 0) means.add(measured(10_000, second * 1000 + 900));
      const [reading] = means.take(asMonotonicMs((second + 1) * 1000));
      expect(reading?.result.kind).toBe(second % 3 === 0 ? 'measured' : undefined);
    }
  });

  test('of a thermocouple carries the mean cold junction', () => {
    const gas = converterFor(probeWith({ kind: 'mcp960x', address: 0x67 }));
    const means = new SecondMeans(new Map([['p0', gas]]));
    for (const coldJunctionC of [20, 20.0625])
      means.add({
        ...measured(1000),
        signal: { raw: 1000, rawUnit: 'microvolt', coldJunctionC },
      });
    expect(means.take(end)[0]?.signal).toEqual({ raw: 1000, rawUnit: 'microvolt', coldJunctionC: 20.0313 });
  });
});
