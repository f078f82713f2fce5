import { describe, expect, it } from 'vitest';
import { runCampaign } from '../../../node/bench/campaign/campaign.js';
import { poissonInterval, quantile } from '../../../node/bench/campaign/statistics.js';

describe('the campaign, short', () => {
  it('two boats, seed 11: no loss of water is missed, the hose never reaches 120 C unwarned, no false alarm', () => {
    const summary = runCampaign({ voyages: 8, voyagesPerBoat: 4, seed: 11, withReferences: false }).summary();
    const ours = summary.detectors.elbowroom;
    expect(summary.faults).toBe(4);
    for (const mounting of ['strap', 'well'] as const)
      for (const load of ['idle', 'cruise', 'wideOpen'] as const) {
        expect(ours.fullLoss[mounting][load].missed).toBe(0);
        // The bars are 24 s and 9 s at the 95th percentile; with a handful of faults there is room for the worst.
        if (load !== 'idle')
          for (const { p95S } of [ours.fullLoss[mounting][load]])
            if (p95S !== null) expect(p95S).toBeLessThan(mounting === 'well' ? 15 : 45);
      }
    expect(ours.hose120.unwarned).toBe(0);
    expect(ours.impeller.missed).toBe(0);
    expect(ours.strainer.missed).toBe(0);
    expect(ours.falseAlarms).toBe(0);
    expect(summary.falseStuck).toBe(0);
    expect(ours.falseWarnings).toBeLessThanOrEqual(1);
  }, 180_000);

  it('nearest-rank quantiles, and Garwood’s interval: 0 events 0 to 3.689, 1 event 0.0253 to 5.572 (tables of the exact Poisson interval)', () => {
    expect(quantile([5, 1, 3], 0.5)).toBe(3);
    expect(quantile([1, 2, 3, 4], 0.95)).toBe(4);
    expect(poissonInterval(0)[1]).toBeCloseTo(3.689, 3);
    expect(poissonInterval(1)[0]).toBeCloseTo(0.0253, 4);
    expect(poissonInterval(1)[1]).toBeCloseTo(5.572, 3);
  });
});
