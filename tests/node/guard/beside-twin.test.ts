import { describe, expect, it } from 'vitest';
import { besideTwinK } from '../../../node/guard/beside-twin.js';
import { silentChannel } from '../../../node/guard/channel-state.js';
import { elbowAtRest } from '../../../node/guard/elbow.js';
import type { ElbowView } from '../../../node/guard/elbow-view.js';
import { otherElbow } from '../../../node/guard/elbow-views.js';
import { firstEngineState } from '../../../node/guard/engine.js';
import { fitBaseline, type NormalSecond } from '../../../node/guard/fit-baseline.js';
import { twinApartOf } from '../../../node/guard/fit-twin.js';
import { stepLearned } from '../../../node/guard/learned-detector.js';
import { learnedAtRest } from '../../../node/guard/learned-state.js';
import { firstProbeState } from '../../../node/guard/probe-state.js';
import { firstRunState } from '../../../node/guard/running.js';
import type { ProbeSettings } from '../../../node/guard/settings.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { twinEngines } from '../../twin-engines.js';
import { learnedElbow } from './learned-elbow.js';

const gas = { a: 250, b: 250, c: 250 };
const view: ElbowView = {
  elbowC: 28,
  slopeCPerS: 0,
  seaC: 18,
  exhaust: gas,
  phase: 'running',
  sinceStartS: 2000,
  warmS: 420,
  sinceThrottledBackS: 600,
  mounting: 'strap-on',
  dtS: 1,
};

/** An hour of both engines: what the model does not know moves both elbows by up to 6 K, and only `ownK` moves this one. */
const hour = (ownK: number) =>
  Array.from({ length: 3600 }, (_, i): NormalSecond => {
    const gasC = 250 + 80 * Math.sin(i / 200);
    return {
      atMs: 1000 * i,
      riseK: 10 + 0.03 * gasC + 6 * Math.sin(i / 37) + ownK * Math.sin(i / 11),
      slopeCPerS: 0,
      // Half of it steady, and then with the slow memory behind.
      exhaust: { a: gasC, b: gasC, c: i < 1800 ? gasC : gasC - 30 },
      seaC: 18,
      warmS: 420,
      sinceStartS: 1000 + i,
    };
  });
const fittedTo = (seconds: readonly NormalSecond[]) => ({ seconds, baseline: fitBaseline(seconds, 20) });

describe('two engines that are driven alike', () => {
  it('what moves both elbows is not learned as apart, and what moves one is', () => {
    const own = fittedTo(hour(2));
    expect(own.baseline.spread.steady.q998K).toBeGreaterThan(4);
    // By the making of it: 2 K, and no more than what a fit may be wrong by.
    const apart = twinApartOf(own, fittedTo(hour(0)), 20);
    expect(apart?.steadyK).toBeGreaterThan(1.5);
    expect(apart?.steadyK).toBeLessThan(2.6);
    expect(
      twinApartOf(own, fittedTo(hour(0).map((s) => ({ ...s, atMs: s.atMs + 1e9 }))), 20),
    ).toBeUndefined();
  });

  const baseline = { ...learnedElbow, twinApart: { steadyK: 1, movingK: 5 } };
  const other = { meanK: 0, residualK: 2, exhaust: gas, sinceStartS: 2000 };
  const beside = { view, exhaust: gas, baseline, other, steady: true, cold: false, usualK: 12 };
  const doubled = (k: number) => 2 * k;

  it('an elbow may be as far above its twin as commissioning met', () => {
    expect(besideTwinK(beside, doubled)).toBe(4);
    expect(besideTwinK({ ...beside, steady: false }, doubled)).toBe(12);
    expect(besideTwinK({ ...beside, steady: false, cold: true }, doubled)).toBe(22);
    expect(besideTwinK({ ...beside, other: { ...other, residualK: -9 } }, doubled)).toBe(2);
  });

  it('in the first twenty minutes one thermostat may open before the other', () => {
    const early = { view: { ...view, sinceStartS: 600 }, other: { ...other, sinceStartS: 650 } };
    expect(besideTwinK({ ...beside, ...early }, doubled)).toBe(8);
    expect(besideTwinK({ ...beside, ...early, steady: false }, doubled)).toBe(16);
    expect(besideTwinK({ ...beside, ...early, steady: false, usualK: 30 }, doubled)).toBe(32);
  });

  it('a twin that runs otherwise, was started much later, or of which nothing was learned says nothing', () => {
    expect(besideTwinK({ ...beside, other: undefined }, doubled)).toBeUndefined();
    expect(besideTwinK({ ...beside, other: { ...other, sinceStartS: 100 } }, doubled)).toBeUndefined();
    expect(
      besideTwinK({ ...beside, other: { ...other, exhaust: { ...gas, a: 320 } } }, doubled),
    ).toBeUndefined();
    expect(besideTwinK({ ...beside, baseline: learnedElbow }, doubled)).toBeUndefined();
  });
});

describe('a twin', () => {
  const elbow = (id: string, learned: boolean): ProbeSettings => ({
    id: `${id}-elbow`,
    name: id,
    engine: id,
    place: 'wet-elbow',
    mounting: 'strap-on',
    ...(learned && { baseline: learnedElbow }),
  });
  const nowMs = asMonotonicMs(100_000);
  /** What port may know of starboard, whose probe was last heard `silentMs` ago. */
  const seen = (learned: boolean, silentMs: number) => {
    const channel = { ...silentChannel, heardAtMs: asMonotonicMs(nowMs - silentMs), fastC: 30 };
    const port = elbow('port', true);
    return otherElbow(
      port,
      { 'starboard-elbow': { ...firstProbeState, channel, elbow: elbowAtRest } },
      {
        probes: [port, elbow('starboard', learned)],
        engines: twinEngines(),
        escalateAfterS: 120,
        tuning: learnedTuning,
      },
      {
        starboard: {
          ...firstEngineState,
          exhaust: gas,
          run: { ...firstRunState, phase: 'running', forS: 2000 },
        },
      },
      nowMs,
    );
  };

  it('is compared with while its elbow was learned and reads, and not otherwise', () => {
    expect(seen(true, 0)).toMatchObject({ residualK: 0, sinceStartS: 2000 });
    expect(seen(false, 0)).toBeUndefined();
    expect(seen(true, 10_000)).toBeUndefined();
  });
});

describe('an elbow that warms under level gas', () => {
  /** The residual lies 3 K low for five minutes and then grows by 0.5 K/s: when that is reported, s after it began. */
  const reportedAfterS = (
    levelChange: { steadyK: number; settlingK: number } | undefined,
    mounting: 'strap-on' | 'well',
  ) => {
    const baseline = { ...learnedElbow, ...(levelChange && { levelChange }) };
    let state = learnedAtRest;
    for (let s = -300; s < 60; s++) {
      const elbowC = 18 + 10 - 3 + 0.5 * Math.max(0, s);
      const other = { meanK: 0, residualK: 0, exhaust: gas, sinceStartS: 2000 };
      const step = stepLearned(state, { ...view, elbowC, mounting }, baseline, other, learnedTuning);
      state = step.state;
      if (step.finding) return { s, rule: step.finding.rule };
    }
    return undefined;
  };

  it('is reported by how far it leaves its own mean, before it is above what was learned', () => {
    const change = { steadyK: 0.5, settlingK: 0.5 };
    const sooner = reportedAfterS(change, 'strap-on');
    expect(sooner?.rule).toBe('warms-at-level-gas');
    // By hand: 2 K over the mean after some 5 s, 6 K s more by 11 s; what was learned is passed by 3.6 K not before 13 s.
    expect(sooner?.s).toBeLessThan(13);
    expect(reportedAfterS(undefined, 'strap-on')).toMatchObject({ rule: 'above-learned' });
    expect(reportedAfterS(undefined, 'strap-on')?.s).toBeGreaterThan(16);
    expect(reportedAfterS(change, 'well')).toEqual(reportedAfterS(undefined, 'well'));
    expect(reportedAfterS({ steadyK: 20, settlingK: 20 }, 'strap-on')).toEqual(
      reportedAfterS(undefined, 'strap-on'),
    );
  });
});
