import { describe, expect, it } from 'vitest';
import {
  type AttachmentContext,
  attachmentAtRest,
  stepAttachment,
} from '../../../node/guard/detached-probe.js';
import { stepExhaustMemory } from '../../../node/guard/exhaust-memory.js';
import { guard, startGuard } from '../../../node/guard/guard.js';
import type { GuardSettings } from '../../../node/guard/settings.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import type { Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { twinEngines } from '../../twin-engines.js';
import { learnedElbow } from './learned-elbow.js';

const passS = 0.2;

type Start = {
  /** What the probe read while the boat lay still, C. */
  readonly mooredC: number;
  /** What it reads s seconds after the start, C. */
  readonly elbowC: (s: number) => number;
  readonly stoppedS?: number;
  readonly seaC?: number;
  readonly seaGood?: boolean;
  readonly forS?: number;
  /** What was reported before this start. */
  readonly reported?: boolean;
  /** Gas of a running engine at the start, as beside a guard that wakes under way, C. */
  readonly gasC?: number;
};

/** A first-order lag on the way from one temperature to another: what a body in a stream of water does. */
const towards = (fromC: number, toC: number, tauS: number, afterS: number) => (s: number) =>
  s < afterS ? fromC : toC + (fromC - toC) * Math.exp(-(s - afterS) / tauS);

/** Starts an engine that then idles, and gives what is reported of the probe at the end, and when it first was. */
function start({ mooredC, elbowC, stoppedS = 600, seaC = 15, seaGood = true, ...rest }: Start) {
  const { forS = 300, reported = false, gasC = 20 } = rest;
  const context: AttachmentContext = {
    baseline: learnedElbow,
    seaGood,
    otherResidualK: undefined,
    otherUnresponsive: false,
    otherGasC: undefined,
  };
  const finding = { sign: 'no-answer', values: {}, thresholds: {} } as const;
  let attachment = { ...attachmentAtRest, ...(reported && { finding }) };
  let exhaust = stepExhaustMemory(undefined, gasC, passS);
  let reportedAtS: number | undefined;
  for (let s = -stoppedS; s < forS; s += passS) {
    const running = s >= 0;
    if (running) exhaust = stepExhaustMemory(exhaust, 120, passS);
    attachment = stepAttachment(
      attachment,
      {
        elbowC: running ? elbowC(s) : mooredC,
        slopeCPerS: 0,
        seaC,
        exhaust,
        phase: running ? 'running' : 'stopped',
        sinceStartS: running ? s : s + stoppedS,
        warmS: Math.max(0, s),
        sinceThrottledBackS: 600,
        mounting: 'strap-on',
        dtS: passS,
      },
      context,
    );
    if (running && attachment.finding) reportedAtS ??= s;
  }
  return { reportedAtS, sign: attachment.finding?.sign };
}

describe('a probe that its water does not move when its engine is started', () => {
  it('is reported two minutes after the start of a cold engine in a sea 8 K colder than its engine room', () => {
    const { reportedAtS, sign } = start({ mooredC: 23, elbowC: (s) => 23 + s / 300 });
    expect(sign).toBe('still-at-start');
    expect(reportedAtS).toBeGreaterThan(120);
    expect(reportedAtS).toBeLessThan(130);
  });

  it('is reported in a sea 6 K warmer than a boat that was cold for a night', () => {
    expect(start({ mooredC: 9, elbowC: () => 9.3 }).sign).toBe('still-at-start');
  });

  it('is reported by a guard that wakes at the start, as one that the ignition feeds', () => {
    expect(start({ mooredC: 23, elbowC: () => 23, stoppedS: 0 }).sign).toBe('still-at-start');
  });

  it('stays reported: a warm engine room is no elbow that is warm again', () => {
    expect(start({ mooredC: 23, elbowC: () => 23, forS: 1800 }).sign).toBe('still-at-start');
  });
});

describe('nothing is reported', () => {
  it.each<[string, Start]>([
    // A ring that follows its elbow with 20 s, and water after 30 s: the slowest of both in hardware-notes/how-early.md.
    ['of a slow ring behind a slow pump', { mooredC: 23, elbowC: towards(23, 16.5, 20, 30) }],
    // A ring with an insulation gone half takes half of its temperature from the air (a divider of two thermal resistances).
    ['of a ring that sits badly', { mooredC: 27, elbowC: towards(27, 21, 20, 10) }],
    ['where boat and sea are as warm as one another', { mooredC: 16.5, elbowC: () => 16.5 }],
    ['of an elbow without water, which warms', { mooredC: 23, elbowC: (s) => 23 + 0.05 * s }],
    ['while the sea probe is not believed', { mooredC: 23, elbowC: () => 23, seaGood: false }],
    ['after a stop of 20 s, which moves nothing', { mooredC: 23, elbowC: () => 23, stoppedS: 20, gasC: 130 }],
    [
      'by a guard that wakes beside an engine that has run for long',
      { mooredC: 23, elbowC: () => 23, stoppedS: 0, gasC: 130 },
    ],
    ['of a sea probe that reads 3 K too high', { mooredC: 15, seaC: 18, elbowC: towards(15, 15.7, 20, 5) }],
  ])('%s', (_, boat) => {
    expect(start(boat).reportedAtS).toBeUndefined();
  });

  it('any more once the water moves the probe after a later start: it was put back', () => {
    expect(start({ mooredC: 23, elbowC: () => 23, reported: true }).sign).toBe('no-answer');
    expect(start({ mooredC: 23, elbowC: towards(23, 16.5, 20, 5), reported: true }).sign).toBeUndefined();
  });
});

it('the guard says so with a caution and sounds: nothing shows whether that engine is cooled', () => {
  const settings: GuardSettings = {
    probes: [
      {
        id: 'elbow',
        name: 'Port elbow',
        engine: 'port',
        place: 'wet-elbow',
        mounting: 'strap-on',
        baseline: learnedElbow,
      },
      { id: 'gas', name: 'Port gas', engine: 'port', place: 'dry-exhaust', mounting: 'free' },
      { id: 'sea', name: 'Sea', engine: 'all', place: 'sea-water', mounting: 'free' },
    ],
    engines: twinEngines('port'),
    escalateAfterS: 120,
    tuning: learnedTuning,
  };
  let state = startGuard(asMonotonicMs(0));
  const startedS = 120;
  const heard = new Map<string, number>();
  for (let s = 0; s < startedS + 160; s += passS) {
    const readAtMs = asMonotonicMs(s * 1000);
    const ripple = Math.round(s * 5) % 2 ? 0.05 : 0;
    const reading = (probe: string, temperatureC: number): Reading => ({
      probe,
      readAtMs,
      result: { kind: 'measured', quantity: 'temperature', temperatureC, uncertaintyC: 0.3 },
    });
    const running = s >= startedS;
    const readings = [
      reading('elbow', 23 + ripple),
      reading('gas', running ? 120 - 100 * Math.exp(-(s - startedS) / 20) : 20),
      reading('sea', 15 + ripple),
    ];
    const input = { nowMs: readAtMs, readings, running: { port: running }, board: 'connected' } as const;
    state = guard(state, input, settings).state;
    for (const { alert } of state.entries) if (!heard.has(alert.rule)) heard.set(alert.rule, s - startedS);
  }
  expect([...heard.keys()]).toEqual(['probe-fallen', 'cooling-unseen']);
  // Two minutes until it can be judged, and 20 s until an engine that no probe shows sounds.
  expect(heard.get('cooling-unseen')).toBeLessThan(150);
  const [fallen, unseen] = state.entries.map(({ alert }) => alert);
  expect(fallen?.message).toMatch(/^Port elbow hardly moved in the two minutes after its engine was started/);
  expect(unseen?.priority).toBe('warning');
});
