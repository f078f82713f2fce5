import type { AlertCommand } from '../../../node/alerts/alert.js';
import { guard } from '../../../node/guard/guard.js';
import type { GuardState } from '../../../node/guard/guard-state.js';
import type { GuardSettings } from '../../../node/guard/settings.js';
import { learnedTuning } from '../../../node/guard/tuning.js';
import type { Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { twinEngines } from '../../twin-engines.js';

export const settings: GuardSettings = {
  probes: [
    {
      id: 'port-elbow',
      name: 'Port elbow',
      engine: 'port',
      place: 'wet-elbow',
      mounting: 'well',
      alarm: { raiseAt: 93, clearAt: 85, holdS: 1 },
      warning: { raiseAt: 82, clearAt: 76, holdS: 2 },
    },
  ],
  engines: twinEngines(),
  escalateAfterS: 120,
  tuning: learnedTuning,
};

export const reading = (atMs: number, temperatureC?: number): Reading => ({
  probe: 'port-elbow',
  readAtMs: asMonotonicMs(atMs),
  result:
    temperatureC === undefined
      ? { kind: 'missing', reason: 'open' }
      : { kind: 'measured', quantity: 'temperature', temperatureC, uncertaintyC: 0.3 },
});

/** Runs at 10 Hz from `fromMs` for `forS`, with the temperature as a function of seconds since then. */
export function run(
  state: GuardState,
  fromMs: number,
  forS: number,
  temperature: (s: number) => number | undefined,
) {
  let now = state;
  let alerts = guard(
    now,
    { nowMs: asMonotonicMs(fromMs), readings: [], running: {}, board: 'connected' },
    settings,
  ).alerts;
  for (let ms = fromMs; ms <= fromMs + forS * 1000; ms += 100) {
    const result = guard(
      now,
      {
        nowMs: asMonotonicMs(ms),
        readings: [reading(ms, temperature((ms - fromMs) / 1000))],
        running: {},
        board: 'connected',
      },
      settings,
    );
    now = result.state;
    alerts = result.alerts;
  }
  return { state: now, alerts };
}

/** Goes on as `run`, and gives the seconds and the alert at each change of its state. */
export function statesOf(
  state: GuardState,
  fromMs: number,
  forS: number,
  temperature: (s: number) => number,
) {
  const seen: { s: number; state: string; message: string; actions: readonly string[] }[] = [];
  let now = state;
  for (let ms = fromMs; ms <= fromMs + forS * 1000; ms += 100) {
    const s = (ms - fromMs) / 1000;
    const result = step(now, ms, temperature(s));
    now = result.state;
    const alert = result.alerts[0];
    if (alert && alert.state !== seen.at(-1)?.state)
      seen.push({ s, state: alert.state, message: alert.message, actions: alert.actions });
  }
  return { state: now, seen };
}

export const step = (
  state: GuardState,
  ms: number,
  temperatureC: number,
  commands: readonly AlertCommand[] = [],
) =>
  guard(
    state,
    {
      nowMs: asMonotonicMs(ms),
      readings: [reading(ms, temperatureC)],
      running: {},
      board: 'connected',
      commands,
    },
    settings,
  );
export const acknowledge: AlertCommand = { do: 'acknowledge', alertId: 'cooling:port' };
