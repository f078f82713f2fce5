import type { AlertCommand } from '../../../node/alerts/alert.js';
import { annunciation, reminderSound } from '../../../node/annunciator/annunciation.js';
import { guard } from '../../../node/guard/guard.js';
import { type GuardState, startGuard } from '../../../node/guard/guard-state.js';
import type { GuardSettings } from '../../../node/guard/settings.js';
import { settingsFromKit } from '../../../node/guard/settings-from-kit.js';
import type { MissingReason, Reading } from '../../../node/reading/reading.js';
import { asMonotonicMs } from '../../../node/time/clock.js';
import { kitWith, ntcOn } from '../kit-with.js';

export const elbow = { id: 'elbow', channel: ntcOn('A0', { resistorOhms: 2_200 }) };
export const second = { id: 'second', channel: ntcOn('A3', { resistorOhms: 2_200 }) };
export const gas = { id: 'gas', place: 'dry-exhaust', channel: { kind: 'ad8495', pin: 'A1' } };
export const sea = { id: 'sea', engine: 'both', place: 'sea-water', channel: ntcOn('A2') };
export const wired = { engines: { port: { runningInput: { pin: 2 } } } };
export const one = settingsFromKit(kitWith([elbow, gas, sea], wired));
export const two = settingsFromKit(kitWith([elbow, second, gas, sea], wired));

export type Shown = number | MissingReason;
export type At = (s: number) => Readonly<Record<string, Shown>>;

/** A boat whose probes say what a test sets, ten times a second. */
export class Watch {
  state: GuardState = startGuard(asMonotonicMs(0));
  settings: GuardSettings;
  /** When something began to sound, and what. */
  readonly heard: string[] = [];
  heartStoppedS = 0;
  /** A converter that repeats itself to the last digit. */
  still = false;
  constructor(settings: GuardSettings) {
    this.settings = settings;
  }

  run(forS: number, at: At, { running = true, board = 'connected' as 'connected' | 'lost' } = {}): this {
    const fromMs = this.state.atMs;
    for (let i = 1; i <= forS * 10; i++)
      this.pass(asMonotonicMs(fromMs + i * 100), at(i / 10), { running, board });
    return this;
  }

  do(doing: AlertCommand['do'], alertId = 'blind:port') {
    const { state, answers } = guard(
      this.state,
      {
        nowMs: this.state.atMs,
        readings: [],
        running: { port: true },
        board: 'connected',
        commands: [{ do: doing, alertId }],
      },
      this.settings,
    );
    this.state = state;
    return answers[0];
  }

  get alerts() {
    return this.state.entries.map(({ alert }) => alert);
  }

  alert(id = 'blind:port') {
    return this.alerts.find((alert) => alert.id === id);
  }

  private pass(
    nowMs: GuardState['atMs'],
    said: Readonly<Record<string, Shown>>,
    { running, board }: { running: boolean; board: 'connected' | 'lost' },
  ): void {
    const readings = Object.entries(said).map(
      ([probe, shown]): Reading => ({
        probe,
        readAtMs: nowMs,
        result:
          typeof shown === 'number'
            ? // The last digit of a converter is never at rest.
              {
                kind: 'measured',
                quantity: 'temperature',
                temperatureC: shown + (this.still ? 0 : 0.05 * Math.sin(nowMs * 12.9898)),
                uncertaintyC: 0.3,
              }
            : { kind: 'missing', reason: shown },
      }),
    );
    const { state, alerts } = guard(
      this.state,
      { nowMs, readings, running: board === 'lost' ? {} : { port: running }, board },
      this.settings,
    );
    this.state = state;
    const now = annunciation(alerts, nowMs);
    if (now.heartStops) this.heartStoppedS += 0.1;
    const sound = now.buzzer === undefined ? 'quiet' : now.buzzer === reminderSound ? 'reminder' : 'alert';
    if (sound !== (this.heard.at(-1)?.split(' ')[0] ?? 'quiet'))
      this.heard.push(`${sound} ${Math.round(nowMs / 1000)}`);
  }
}

export const well: At = () => ({ elbow: 40, second: 40, gas: 300, sea: 18 });
export const moored: At = () => ({ elbow: 'open', second: 40, gas: 25, sea: 18 });
export const open: At = () => ({ elbow: 'open', second: 40, gas: 300, sea: 18 });
