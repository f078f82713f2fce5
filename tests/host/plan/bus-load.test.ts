import { describe, expect, it } from 'vitest';
import { busLoad } from '../../../host/plan/bus-load.js';

describe('the bus', () => {
  it('carries the usual kit at 10 Hz', () => {
    expect(busLoad({ analogChannels: 4, mcp960xChips: 2, ads1115Inputs: 0, sampleHz: 10 })).toMatchObject({
      fits: true,
    });
  });

  it('does not carry eight amplifiers at 10 Hz, and names a rate it does', () => {
    const load = busLoad({
      analogChannels: 6,
      mcp960xChips: 8,
      ads1115Inputs: 0,
      sampleHz: 10,
    });
    expect(load.fits).toBe(false);
    expect(load.fastestSampleHz).toBeGreaterThan(0);
    expect(
      busLoad({
        analogChannels: 6,
        mcp960xChips: 8,
        ads1115Inputs: 0,
        sampleHz: load.fastestSampleHz,
      }).fits,
    ).toBe(true);
  });
});
