import { describe, expect, it } from 'vitest';
import { HostAlerts } from '../../../host/live/host-alerts.js';
import { watchOutputs } from '../../../host/outputs/watch-outputs.js';
import { systemClock } from '../../../node/time/clock.js';

const status = (failed: number, lastError?: string, sent = 0) => ({
  name: 'webhook to example.org',
  sent,
  failed,
  waiting: 1,
  dropped: 0,
  ...(lastError === undefined ? {} : { lastError }),
});

describe('an output that keeps failing', () => {
  it('is a caution of the host from the fifth failure on, with its reason, until one gets through', () => {
    const own = new HostAlerts(systemClock, () => undefined);
    const watch = watchOutputs(own);
    watch([status(4, 'no network')]);
    expect(own.alerts()).toEqual([]);
    watch([status(5, 'no network')]);
    expect(own.alerts()).toMatchObject([
      { priority: 'caution', message: 'Does not get through: webhook to example.org (no network)' },
    ]);
    watch([status(6, 'no network')]);
    expect(own.alerts().length).toBe(1);
    watch([status(6, undefined, 1)]);
    expect(own.alerts()).toMatchObject([{ state: 'rectified' }]);
  });

  it('is none while now and then one gets through, however many have failed in a season', () => {
    const own = new HostAlerts(systemClock, () => undefined);
    const watch = watchOutputs(own);
    for (let sent = 0; sent < 10; sent++) {
      for (let more = 1; more <= 4; more++) watch([status(4 * sent + more, 'no network', sent)]);
      watch([status(4 * sent + 4, undefined, sent + 1)]);
    }
    expect(own.alerts()).toEqual([]);
    for (let more = 1; more <= 5; more++) watch([status(40 + more, 'no network', 10)]);
    expect(own.alerts()).toHaveLength(1);
  });
});
