import { describe, expect, it } from 'vitest';
import { guard } from '../../../node/guard/guard.js';
import { startGuard } from '../../../node/guard/guard-state.js';
import type { GuardSettings } from '../../../node/guard/settings.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import type { Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { twinEngines } from '../../twin-engines.js';

// An input that says stopped while the engine has no water, on a stop that was seen: what lets a healthy elbow soak up heat must
// not keep this silent. Expected: the limit of a stopped elbow, or what was learned of soaking, is passed at these rates.

const elbow = { id: 'port-elbow', name: 'Port elbow', engine: 'port', place: 'wet-elbow' } as const;
const gas = { id: 'port-exhaust', name: 'Port gas', engine: 'port', place: 'dry-exhaust' } as const;
const settings: GuardSettings = {
  probes: [
    {
      ...elbow,
      mounting: 'strap-on',
      alarm: { raiseAt: 93, clearAt: 85, holdS: 1 },
      warning: { raiseAt: 82, clearAt: 76, holdS: 2 },
    },
    { ...gas, mounting: 'free' },
  ],
  engines: twinEngines(),
  escalateAfterS: 120,
  tuning: learnedTuning,
};

type Course = (s: number) => number | undefined;

/** The elbow's temperature at the first alarm of its engine after `fromS`; the input is on until 900 s and off from then on. */
function alarmAtC(elbowC: Course, gasC: Course, fromS: number, untilS: number): number | undefined {
  let state = startGuard(asMonotonicMs(0));
  for (let s = 0; s < untilS; s += 0.2) {
    const readAtMs = asMonotonicMs(Math.round(s * 1000));
    const measured = (probe: string, temperatureC: number | undefined): Reading => ({
      probe,
      readAtMs,
      result:
        temperatureC === undefined
          ? { kind: 'missing', reason: 'open' }
          : // The last digit moves, as that of every converter does.
            {
              kind: 'measured',
              quantity: 'temperature',
              temperatureC: temperatureC + 0.1 * Math.sin(7 * s),
              uncertaintyC: 0.3,
            },
    });
    const readings = [measured(elbow.id, elbowC(s)), measured(gas.id, gasC(s))];
    const on = { port: s < 900, starboard: false };
    const result = guard(state, { nowMs: readAtMs, readings, running: on, board: 'connected' }, settings);
    state = result.state;
    if (s > fromS && result.alerts.some(({ id, priority }) => id === 'cooling:port' && priority === 'alarm'))
      return elbowC(s);
  }
  return undefined;
}

describe('an input that says stopped', () => {
  it.each([0.28, 0.4])('engine that idles on without water, %d K/s: an alarm below 100 C', (rate) => {
    const idlesDown = (s: number) => (s < 900 ? 380 : 180 + 200 * Math.exp(-(s - 900) / 120));
    const rises = (s: number) => 45 + rate * Math.max(0, s - 960);
    expect(alarmAtC(rises, idlesDown, 900, 1300)).toBeLessThan(100.5);
  });

  it.each([0.2, 0.25])(
    'gas probe gone since the stop, started without water two hours later, %d K/s: an alarm at the limit',
    (rate) => {
      const gone = (s: number) =>
        s < 900 ? 350 : s < 1060 ? 20 + 330 * Math.exp(-(s - 900) / 900) : undefined;
      const rises = (s: number) =>
        s < 900 ? 45 : s < 8100 ? 20 + 25 * Math.exp(-(s - 900) / 1500) : 20.4 + rate * (s - 8100);
      expect(alarmAtC(rises, gone, 8100, 8700)).toBeLessThan(95);
    },
  );
});
