import { describe, expect, it } from 'vitest';
import {
  type AttachmentContext,
  attachmentAtRest,
  stepAttachment,
} from '../../../node/guard/detached-probe.js';
import type { ElbowView } from '../../../node/guard/elbow-view.js';
import { stepExhaustMemory } from '../../../node/guard/exhaust-memory.js';
import { guard, resumeGuard, startGuard } from '../../../node/guard/guard.js';
import type { GuardSettings } from '../../../node/guard/settings.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import type { Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { twinEngines } from '../../twin-engines.js';
import { learnedElbow } from './learned-elbow.js';

const baseline = learnedElbow;
const alone: AttachmentContext = {
  baseline,
  seaGood: true,
  otherResidualK: undefined,
  otherUnresponsive: false,
  otherGasC: undefined,
};

type Voyage = {
  readonly gasC?: (s: number) => number;
  /** What the elbow does, from what it should do. */
  readonly elbowC?: (shouldC: number, s: number) => number;
  readonly slopeCPerS?: (s: number) => number;
  readonly forS?: number;
  readonly change?: Partial<ElbowView>;
  readonly knowledge?: Partial<AttachmentContext>;
};

/** Gas of 200 C, from the 300th second on of 280 C. */
const moreLoad = (s: number) => (s < 300 ? 200 : 280);

/** Sails with a probe that does so, and gives when it was reported as fallen, and the sign reported at the end. */
function sail({ gasC = moreLoad, elbowC = (c) => c, forS = 900, ...rest }: Voyage) {
  const { slopeCPerS = () => 0, change = {}, knowledge = {} } = rest;
  let exhaust = stepExhaustMemory(undefined, gasC(0), 0.2);
  let attachment = attachmentAtRest;
  let reportedAtS: number | undefined;
  for (let s = 0; s < forS; s += 0.2) {
    exhaust = stepExhaustMemory(exhaust, gasC(s), 0.2);
    const should = 20 - 15 + 0.1 * exhaust.b;
    attachment = stepAttachment(
      attachment,
      {
        elbowC: elbowC(should, s),
        slopeCPerS: slopeCPerS(s),
        seaC: 20,
        exhaust,
        phase: 'running',
        sinceStartS: 1000 + s,
        warmS: 420,
        sinceThrottledBackS: 600,
        mounting: 'strap-on',
        dtS: 0.2,
        ...change,
      },
      { ...alone, ...knowledge },
    );
    if (attachment.finding) reportedAtS ??= s;
  }
  return { reportedAtS, sign: attachment.finding?.sign };
}

describe('a probe that has come off its elbow', () => {
  it('is reported within three minutes of 80 K more gas that it does not answer, in an air as warm as its elbow was', () => {
    const { reportedAtS, sign } = sail({ elbowC: () => 25 });
    expect(sign).toBe('no-answer');
    expect(reportedAtS).toBeGreaterThan(300 + 90);
    expect(reportedAtS).toBeLessThan(300 + 180);
  });

  it('is reported by less gas, too, once the surge after a closed throttle is over', () => {
    expect(sail({ gasC: (s) => (s < 300 ? 280 : 200), elbowC: () => 33 }).sign).toBe('no-answer');
  });

  it('is reported in an engine room that warms by half a kelvin a minute', () => {
    expect(sail({ elbowC: (_, s) => 25 + s / 120 }).sign).toBe('no-answer');
  });

  it('is reported without any change of load when it reads the temperature of the sea for two minutes', () => {
    const { reportedAtS, sign } = sail({ gasC: () => 280, elbowC: () => 20.5 });
    expect(sign).toBe('far-too-cold');
    expect(reportedAtS).toBeGreaterThan(119);
    expect(reportedAtS).toBeLessThan(122);
  });

  it('is reported also where healthy running strayed, but by less than is missed now', () => {
    const knowledge = { baseline: { ...baseline, steadyMeanK: 6 } };
    expect(sail({ elbowC: () => 25, knowledge }).sign).toBe('no-answer');
  });

  it('stays reported until it moves as no air moves it, answers its gas again, or is warm again', () => {
    const strapped = (s: number) => (s > 600 && s < 603 ? 0.2 : 0);
    expect(sail({ elbowC: () => 25, slopeCPerS: strapped })).toMatchObject({ sign: undefined });
    expect(sail({ elbowC: () => 25, slopeCPerS: () => 0.05 })).toMatchObject({ sign: 'no-answer' });
    const refitted = (c: number, s: number) => (s < 600 ? 25 : c);
    const load = (s: number) => (s < 300 || s > 900 ? 200 : 280);
    expect(sail({ gasC: load, elbowC: refitted, forS: 880 }).sign).toBe('no-answer');
    expect(sail({ gasC: load, elbowC: refitted, forS: 1800 }).sign).toBeUndefined();
    const tooCold = { gasC: () => 280, elbowC: (c: number, s: number) => (s < 300 ? 20.5 : c) };
    expect(sail({ ...tooCold, forS: 350 }).sign).toBe('far-too-cold');
    expect(sail(tooCold).sign).toBeUndefined();
  });
});

describe('is not reported', () => {
  it.each<[string, Voyage]>([
    ['of an elbow that follows as it was learned to', {}],
    [
      'of an elbow that warm water holds up after its throttle was closed',
      {
        gasC: (s) => (s < 300 ? 280 : 200),
        elbowC: (c, s) => (s < 300 ? c : 33),
        change: { sinceThrottledBackS: 60 },
      },
    ],
    [
      'of gas that changes on one engine alone, as with a tired injector',
      { elbowC: () => 25, knowledge: { otherGasC: 200 } },
    ],
    [
      'of one whose new impeller makes it answer by half of what was learned',
      { elbowC: (c) => 20 + (c - 20) / 2 },
    ],
    [
      'where nothing is asked: steady gas, an elbow a third cooler than learned',
      { gasC: () => 280, elbowC: () => 28.5 },
    ],
    [
      'in the first 15 minutes, while the thermostat decides',
      { elbowC: () => 25, change: { sinceStartS: 899 } },
    ],
    [
      'of an elbow that strays by itself, at steady load, as far as it is missed now',
      { elbowC: () => 25, knowledge: { baseline: { ...baseline, steadyMeanK: 16 } } },
    ],
    [
      'of an elbow that has come to rest after a change of load, while the slowest memory of that still moves what was learned',
      {
        gasC: (s) => (s < 300 ? 330 : 160),
        // Learned with half of its rise from the slow memory; this elbow is where it ends as soon as the gas is.
        elbowC: (_, s) => (s < 300 ? 40 : 23),
        slopeCPerS: (s) => (s > 300 && s < 320 ? -0.5 : 0),
        knowledge: { baseline: { ...baseline, coefficients: [-13, 0, 0.03, 0.07, 0, 0] } },
      },
    ],
    [
      'of an elbow that answered, and then loses its water: a closed question is not asked again',
      {
        gasC: (s) => (s < 300 ? 280 : 200),
        elbowC: (c, s) => (s < 420 ? c : 25 + Math.min(9, (s - 420) * 0.06)),
      },
    ],
    ['of an engine that may not be running', { elbowC: () => 25, change: { phase: 'unsure' } }],
    ['of a stopped engine', { elbowC: () => 25, change: { phase: 'stopped' } }],
    ['while the exhaust gas is not believed', { elbowC: () => 25, change: { exhaust: undefined } }],
    ['while the sea probe is not believed', { elbowC: () => 25, knowledge: { seaGood: false } }],
    [
      'when the other engine’s elbow does not follow either',
      { elbowC: () => 25, knowledge: { otherUnresponsive: true } },
    ],
    [
      'of an elbow as cold as the other engine’s: a sea probe that reads high makes both so',
      { gasC: () => 280, elbowC: () => 21, knowledge: { otherResidualK: -12 } },
    ],
    [
      'of an elbow that loses its water while the skipper eases back: it moves, though the wrong way',
      {
        gasC: (s) => (s < 300 ? 280 : 200),
        elbowC: (_, s) => 33 + Math.max(0, s - 300) * 0.3,
        slopeCPerS: (s) => (s < 300 ? 0 : 0.3),
      },
    ],
    [
      'where it was learned with the probe already off, so that nothing is expected of it',
      { elbowC: () => 25, knowledge: { baseline: { ...baseline, coefficients: [5, 0, 0.005, 0, 0, 0] } } },
    ],
    [
      'beyond the gas that was met in commissioning',
      { gasC: (s) => (s < 300 ? 345 : 425), elbowC: () => 40 },
    ],
  ])('%s', (_, voyage) => {
    expect(sail(voyage).reportedAtS).toBeUndefined();
  });
});

describe('the guard', () => {
  const settings: GuardSettings = {
    probes: [
      { id: 'elbow', name: 'Port elbow', engine: 'port', place: 'wet-elbow', mounting: 'strap-on', baseline },
      { id: 'gas', name: 'Port gas', engine: 'port', place: 'dry-exhaust', mounting: 'free' },
      { id: 'sea', name: 'Sea', engine: 'all', place: 'sea-water', mounting: 'free' },
    ],
    engines: twinEngines('port'),
    escalateAfterS: 120,
    tuning: learnedTuning,
  };

  it('raises a caution with what to look at and says that nothing shows the cooling, keeps judging the probe, and remembers over a restart', () => {
    let state = startGuard(asMonotonicMs(0));
    const pass = (s: number, hot = 0) => {
      const readAtMs = asMonotonicMs(s * 1000);
      const reading = (probe: string, temperatureC: number): Reading => ({
        probe,
        readAtMs,
        result: { kind: 'measured', quantity: 'temperature', temperatureC, uncertaintyC: 0.3 },
      });
      const ripple = Math.round(s * 5) % 2 ? 0.05 : 0;
      const readings = [
        reading('elbow', 25 + hot + ripple),
        reading('gas', s < 1200 ? 200 : 280),
        reading('sea', 20 + ripple),
      ];
      state = guard(
        state,
        { nowMs: readAtMs, readings, running: { port: true }, board: 'connected' },
        settings,
      ).state;
    };
    for (let s = 0; s < 1500; s += 0.2) pass(s);
    const [alert, ...others] = state.entries.map((entry) => entry.alert);
    expect(others).toMatchObject([{ id: 'blind:port', priority: 'alarm', escalated: true }]);
    expect(others[0]?.message).toMatch(/engine is cooled: Port elbow seems to hang in the air\.$/);
    expect(alert).toMatchObject({ id: 'probe-fault:elbow', rule: 'probe-fallen', priority: 'caution' });
    expect(alert?.message).toMatch(/^Port elbow did not follow when its exhaust gas changed/);
    expect(alert?.evidence.values.answeredPart).toBeLessThan(0.05);
    expect(alert?.actions.join(' ')).toMatch(/stopped and cold.*ring is tight.*elbowroom commission/);

    const { state: resumed } = resumeGuard(JSON.parse(JSON.stringify(state)), asMonotonicMs(1_505_000), 5000);
    state = resumed;
    for (let s = 1505.2; s < 1530; s += 0.2) pass(s);
    expect(state.entries.map(({ alert: { rule, state: life } }) => [rule, life])).toEqual([
      ['probe-fallen', 'unacknowledged'],
      ['cooling-unseen', 'unacknowledged'],
    ]);

    for (let s = 1530; s < 1560; s += 0.2) pass(s, (s - 1530) * 1.2);
    expect(state.entries.map((entry) => entry.alert.id)).toContain('cooling:port');
  });
});
