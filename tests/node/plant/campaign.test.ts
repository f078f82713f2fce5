import { describe, expect, it } from 'vitest';
import { runCampaign } from '../../../node/bench/campaign/campaign.js';
import { runFallenProbes } from '../../../node/bench/campaign/fallen-probes.js';
import { poissonInterval, quantile } from '../../../node/bench/campaign/statistics.js';

describe('the campaign, short', () => {
  it('six boats, seed 11: no loss of water is missed, the hose never reaches 120 C unwarned, no false alarm', () => {
    const summary = runCampaign({
      voyages: 24,
      voyagesPerBoat: 4,
      seed: 11,
      withReferences: false,
    }).summary();
    const ours = summary.detectors.elbowroom;
    const losses = Object.values(ours.fullLoss).flatMap((byLoad) => Object.values(byLoad));
    // What is claimed of none is no claim: the seed drew some of each kind.
    const drawn = [
      losses.reduce((sum, { n }) => sum + n, 0),
      ours.impeller.n,
      ours.strainer.n,
      ours.hose120.reached,
    ];
    expect(Math.min(...drawn), drawn.join()).toBeGreaterThan(0);
    expect(losses.map(({ missed }) => missed)).toEqual(losses.map(() => 0));
    expect([ours.impeller.missed, ours.strainer.missed, ours.hose120.unwarned]).toEqual([0, 0, 0]);
    // The bars are 24 s and 9 s at the 95th percentile; with a handful of faults there is room for the worst.
    for (const [mounting, mostS] of [
      ['strap', 45],
      ['well', 15],
    ] as const) {
      const { cruise, wideOpen } = ours.fullLoss[mounting];
      const seen = [cruise, wideOpen].flatMap(({ p95S }) => (p95S === null ? [] : [p95S]));
      expect(seen.length).toBeGreaterThan(0);
      expect(Math.max(...seen)).toBeLessThan(mostS);
    }
    expect(ours.falseAlarms).toBe(0);
    expect([summary.falseStuck, summary.falseFallen, summary.falseUnseen]).toEqual([0, 0, 0]);
    expect(ours.falseWarnings).toBeLessThanOrEqual(1);
  }, 180_000);

  it('four boats, seed 3: probes that fall off are told on that voyage or the next, in half the falls or more, and none that sits well', () => {
    const { falls, toldByTheNext, falseCautions } = runFallenProbes({ boats: 4, seed: 3 });
    expect(falls).toBe(4);
    expect(toldByTheNext).toBeGreaterThanOrEqual(2);
    expect(falseCautions).toBe(0);
  }, 180_000);

  it('nearest-rank quantiles, and Garwood’s interval: 0 events 0 to 3.689, 1 event 0.0253 to 5.572 (tables of the exact Poisson interval)', () => {
    expect(quantile([5, 1, 3], 0.5)).toBe(3);
    expect(quantile([1, 2, 3, 4], 0.95)).toBe(4);
    expect(poissonInterval(0)[1]).toBeCloseTo(3.689, 3);
    expect(poissonInterval(1)[0]).toBeCloseTo(0.0253, 4);
    expect(poissonInterval(1)[1]).toBeCloseTo(5.572, 3);
  });
});
