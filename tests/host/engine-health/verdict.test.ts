import { describe, expect, it } from 'vitest';
import type { EngineHealth } from '../../../host/engine-health/health.js';
import { verdictOf } from '../../../host/engine-health/verdict.js';

const day = 86_400_000;
/** Ten trips at a rise of 25 K; the last shows `value`. */
const engine = (value: number, trips = 10): EngineHealth => ({
  engine: { id: 'port', name: 'Port', shortName: 'PORT', kind: 'propulsion', alike: [] },
  elbow: 'elbow',
  baselineFrom: 0,
  learnedOn: [],
  lastTrip: [{ at: 0, gasC: 340, riseC: 25 } as EngineHealth['lastTrip'][number]],
  effectiveness: Array.from({ length: trips }, (_, i) => ({
    at: i * day,
    value: i === trips - 1 ? value : 1,
    uncertainty: 0.005,
  })) as unknown as EngineHealth['effectiveness'],
});
const soaks = (lastK: number) => [
  { at: day, offsets: { elbow: 0.1 } },
  { at: 9 * day, offsets: { elbow: lastK } },
];

describe('the verdict on an engine', () => {
  it('a probe that reads 2.5 K too warm after a night looks like 10 % less cooling, and the verdict is the probe', () => {
    // 22.5 K over the sea were expected; 25 K are measured, of which 2.5 K are the probe's: 22.5 / 25 = 0.9.
    const verdict = verdictOf(engine(0.9), soaks(2.6));
    expect(verdict.kind).toBe('probe');
    expect(verdict.driftK).toBeCloseTo(2.5, 9);
    expect(verdict.withoutDrift).toBeCloseTo(1, 9);
  });

  it('the same loss with a probe that agrees after a night is the cooling', () => {
    expect(verdictOf(engine(0.9), soaks(0.2)).kind).toBe('less-cooling');
    expect(verdictOf(engine(0.9), []).kind).toBe('less-cooling');
  });

  it('a drift that explains only a third of the loss is still less cooling', () => {
    expect(verdictOf(engine(0.8), soaks(1.7)).kind).toBe('less-cooling');
  });

  it('within 5 % it is as when learned, two trips are too few, and above it work was done', () => {
    expect(verdictOf(engine(0.96), soaks(0.1)).kind).toBe('as-learned');
    expect(verdictOf(engine(0.5, 2), []).kind).toBe('unknown');
    expect(verdictOf(engine(1.12), soaks(0.1)).kind).toBe('more-cooling');
  });
});
