import { describe, expect, it } from 'vitest';
import { HostAlerts } from '../../../host/live/host-alerts.js';
import { watchOutputs } from '../../../host/outputs/watch-outputs.js';
import { systemClock } from '../../../node/time/clock.js';

const status = (failed: number, lastError?: string) => ({
  name: 'webhook to example.org',
  sent: 0,
  failed,
  waiting: 1,
  dropped: 0,
  ...(lastError === undefined ? {} : { lastError }),
});

describe('an output that keeps failing', () => {
  it('is a caution of the host from the fifth failure on, with its reason, until one gets through', () => {
    const own = new HostAlerts(systemClock, () => undefined);
    watchOutputs([status(4, 'no network')], own);
    expect(own.alerts()).toEqual([]);
    watchOutputs([status(5, 'no network')], own);
    expect(own.alerts()).toMatchObject([
      { priority: 'caution', message: 'Does not get through: webhook to example.org (no network)' },
    ]);
    watchOutputs([status(6, 'no network')], own);
    expect(own.alerts().length).toBe(1);
    watchOutputs([status(6)], own);
    expect(own.alerts()).toMatchObject([{ state: 'rectified' }]);
  });
});
