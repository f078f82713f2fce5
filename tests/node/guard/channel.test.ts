import { describe, expect, it } from 'vitest';
import { makeRandom } from '../../../node/bench/plant/random.js';
import { takeReading } from '../../../node/guard/channel.js';
import { type ChannelState, silentChannel, slopeCPerS } from '../../../node/guard/channel-state.js';
import { believedC, faultOf, isSettling } from '../../../node/guard/channel-trust.js';
import type { MissingReason, Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

const good = (s: number, temperatureC: number): Reading => ({
  probe: 'x',
  readAtMs: asMonotonicMs(s * 1000),
  result: { kind: 'measured', quantity: 'temperature', temperatureC, uncertaintyC: 0.3 },
});
const missing = (s: number, reason: MissingReason): Reading => ({
  probe: 'x',
  readAtMs: asMonotonicMs(s * 1000),
  result: { kind: 'missing', reason },
});
const ms = (s: number) => asMonotonicMs(s * 1000);

/** Feeds `value(s)` at `hz` from `fromS` up to and including `toS`. */
function feed(channel: ChannelState, fromS: number, toS: number, hz: number, value: (s: number) => number) {
  let now = channel;
  for (let i = 0; fromS + i / hz <= toS + 1e-9; i++)
    now = takeReading(now, good(fromS + i / hz, value(fromS + i / hz)), 'wet-elbow');
  return now;
}

describe('channel conditioning', () => {
  it('a steady rise of 0.5 K/s is measured as such at 10 Hz and at 1 Hz', () => {
    for (const hz of [10, 1]) {
      const channel = feed(silentChannel, 0, 60, hz, (s) => 30 + 0.5 * s);
      expect(Math.abs(slopeCPerS(channel) - 0.5)).toBeLessThan(0.03);
    }
  });

  it('single spikes of 100 K move nothing by more than 0.01 K', () => {
    let channel = feed(silentChannel, 0, 10, 10, () => 40);
    for (let s = 10.1; s < 20; s += 0.1)
      channel = takeReading(channel, good(s, Math.round(s * 10) % 10 === 0 ? 140 : 40), 'wet-elbow');
    expect(Math.abs((channel.fastC ?? 0) - 40)).toBeLessThan(0.01);
  });

  it('after bursts of 8 s that end where they began it is believed within 5 s, whatever chance left in the filters', () => {
    const random = makeRandom(5);
    let channel = feed(silentChannel, 0, 59.8, 5, () => 42);
    let strayed = 0;
    for (let burst = 0; burst < 1200; burst++) {
      const atS = 60 * (burst + 1);
      channel = feed(channel, atS, atS + 8, 5, () => 42 + random.between(-60, 60));
      if (Math.abs((channel.fastC ?? 0) - 42) > 20) strayed++;
      expect(channel.calmC).toBeCloseTo(42, 0);
      expect(Math.abs(channel.calmCPerS)).toBeLessThan(0.3);
      channel = feed(channel, atS + 8.2, atS + 13.2, 5, () => 42);
      expect(isSettling(channel, ms(atS + 13.2))).toBe(false);
      expect(Math.abs((believedC(channel, ms(atS + 13.2)) ?? 0) - 42)).toBeLessThan(0.5);
      channel = feed(channel, atS + 13.4, atS + 59.8, 5, () => 42);
    }
    // Chance did lead the filters far away, or this would prove nothing.
    expect(strayed).toBeGreaterThan(2);
  });

  it('a burst of a loose connection is wild: the filters wait, and the detectors with them for 3 s', () => {
    let channel = feed(silentChannel, 0, 10, 10, () => 40);
    const wild = [70, 10, 95, -20, 60, 20, 88, 0];
    wild.forEach((c, i) => {
      channel = takeReading(channel, good(10.1 + i / 10, c), 'wet-elbow');
    });
    expect(Math.abs((channel.fastC ?? 0) - 40)).toBeLessThan(3);
    expect(isSettling(channel, ms(11))).toBe(true);
    expect(
      isSettling(
        feed(channel, 11, 16, 10, () => 40),
        ms(16),
      ),
    ).toBe(false);
  });

  it('a jump of 40 K is held back, reported as a fault after 4 s and taken as the truth after 8 s', () => {
    const before = feed(silentChannel, 0, 20, 10, () => 40);
    const held = feed(before, 20.1, 22, 10, () => 80);
    expect(held.fastC).toBeLessThan(41);
    expect(
      faultOf(
        feed(before, 20.1, 25, 10, () => 80),
        ms(25),
        ms(0),
      ),
    ).toBe('jump');
    const later = feed(before, 20.1, 30, 10, () => 80);
    expect(faultOf(later, ms(30), ms(0))).toBeUndefined();
    expect(later.fastC).toBeCloseTo(80, 0);
  });

  it('the fastest real rise, 9 K/s in a well, is believed at 1 Hz', () => {
    const steady = feed(silentChannel, 0, 20, 1, () => 30);
    const hot = feed(steady, 21, 27, 1, (s) => 30 + 9 * (s - 20));
    expect(faultOf(hot, ms(27), ms(0))).toBeUndefined();
    expect(hot.fastC).toBeGreaterThan(65);
  });

  it('open for 4 s is a fault with its reason; 3.9 s is not; one good reading ends it', () => {
    let channel = feed(silentChannel, 0, 20, 10, () => 40);
    for (let s = 20.1; s <= 24.1; s += 0.1) channel = takeReading(channel, missing(s, 'open'), 'wet-elbow');
    expect(faultOf(channel, ms(23.9), ms(0))).toBeUndefined();
    expect(faultOf(channel, ms(24.2), ms(0))).toBe('open');
    expect(believedC(channel, ms(24.2))).toBeUndefined();
    expect(faultOf(takeReading(channel, good(24.3, 40), 'wet-elbow'), ms(24.3), ms(0))).toBeUndefined();
  });

  describe('a loose connection', () => {
    /** Contact breaks for 0.5 s every `everyS`, `times` over, at 10 Hz. */
    const breaking = (times: number, everyS: number, reason: MissingReason = 'open') => {
      let channel = feed(silentChannel, 0, 20, 10, () => 40);
      for (let i = 1; i <= times * everyS * 10; i++) {
        const s = 20 + i / 10;
        const isBroken = i % (everyS * 10) < 5 && i >= everyS * 10;
        channel = takeReading(channel, isBroken ? missing(s, reason) : good(s, 40), 'wet-elbow');
      }
      return { channel, endS: 20 + times * everyS };
    };

    it('is reported at the eighth break in half a minute, and forgotten a minute later; six are nothing', () => {
      const eight = breaking(8, 4);
      expect(faultOf(eight.channel, ms(eight.endS), ms(0))).toBe('loose');
      const calm = feed(eight.channel, eight.endS + 0.1, eight.endS + 60, 10, () => 40);
      expect(faultOf(calm, ms(eight.endS + 60), ms(0))).toBeUndefined();
      const six = breaking(6, 4);
      expect(faultOf(six.channel, ms(six.endS), ms(0))).toBeUndefined();
    });

    it('is not reported for one break every 12 s, however long, nor for a link or chip that stumbles', () => {
      const slow = breaking(100, 12);
      expect(faultOf(slow.channel, ms(slow.endS), ms(0))).toBeUndefined();
      for (const reason of ['no-answer', 'contradicting', 'canary-astray', 'stale'] as const) {
        const stumbling = breaking(20, 4, reason);
        expect(faultOf(stumbling.channel, ms(stumbling.endS), ms(0))).toBeUndefined();
      }
    });

    it('one burst of 8 s with wild readings is one event, not many', () => {
      for (let seed = 1; seed <= 20; seed++) {
        const random = makeRandom(seed);
        const before = feed(silentChannel, 0, 20, 10, () => 40);
        const wild = feed(before, 20.1, 28, 10, () => 40 + random.between(-60, 60));
        expect(
          faultOf(
            feed(wild, 28.1, 29, 10, () => 40),
            ms(29),
            ms(0),
          ),
        ).not.toBe('loose');
      }
    });
  });

  it('silence is stale after 8 s; not in the first 12 s after a start; and the board’s absence is no fault of the probe', () => {
    expect(faultOf(silentChannel, ms(11), ms(0))).toBeUndefined();
    expect(faultOf(silentChannel, ms(13), ms(0))).toBe('stale');
    const heard = feed(silentChannel, 0, 20, 10, () => 40);
    expect(faultOf(heard, ms(27.9), ms(0))).toBeUndefined();
    expect(faultOf(heard, ms(28.1), ms(0))).toBe('stale');
    expect(
      faultOf(takeReading(heard, missing(20.1, 'board-away'), 'wet-elbow'), ms(26), ms(0)),
    ).toBeUndefined();
  });

  describe('a jump on an engine that may run', () => {
    const reference = { temperatureC: 300, movesK: 60 };
    const through = (toS: number, value: (s: number) => number) => {
      let channel = silentChannel;
      for (let s = 0; s <= toS; s += 0.2)
        channel = takeReading(channel, good(s, value(s)), 'dry-exhaust', reference);
      return channel;
    };

    it('is a fault for as long as it stays: a shorted thermocouple reads its own terminals, 25 C', () => {
      const shorted = through(600, (s) => (s < 60 ? 350 : 25 + s / 500));
      expect(faultOf(shorted, ms(600), ms(0))).toBe('jump');
      expect(believedC(shorted, ms(600))).toBeUndefined();
    });

    it('is the truth after 4 s where the filters had only just begun, in a burst of a loose connection', () => {
      const begun = through(30, (s) => (s < 2 ? 250 : 20));
      expect(faultOf(begun, ms(30), ms(0))).toBeUndefined();
      expect(believedC(begun, ms(30))).toBeCloseTo(20, 0);
      const later = through(60, (s) => (s < 25 ? 250 : 20));
      expect(faultOf(later, ms(60), ms(0))).toBe('jump');
    });

    it('is over when the reading comes back, and when the new level goes on moving as real gas does', () => {
      const back = through(130, (s) => (s < 60 || s > 120 ? 350 : 25));
      expect(faultOf(back, ms(130), ms(0))).toBeUndefined();
      const real = through(160, (s) => (s < 60 ? 350 : 200 - Math.max(0, s - 70)));
      expect(faultOf(real, ms(160), ms(0))).toBeUndefined();
      expect(Math.abs((believedC(real, ms(160)) ?? 0) - 110)).toBeLessThan(5);
    });

    it('is believed after 8 s on an engine known to be stopped: a probe that is dipped', () => {
      const dipped = feed(silentChannel, 0, 20, 10, (s) => (s < 10 ? 20 : 98));
      expect(faultOf(dipped, ms(20), ms(0))).toBeUndefined();
      expect(believedC(dipped, ms(20))).toBeCloseTo(98, 0);
    });
  });
});
