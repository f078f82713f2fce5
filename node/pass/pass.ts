import type { Alert, AlertCommand, CommandAnswer } from '../alerts/alert.js';
import type { BuzzerVerdict } from '../alerts/buzzer-verdict.js';
import { type Annunciation, annunciation } from '../annunciator/annunciation.js';
import type { Converter } from '../convert/converter.js';
import { type GuardInput, type GuardResult, type GuardState, guard, startGuard } from '../guard/guard.js';
import type { Notice } from '../guard/notice.js';
import type { GuardSettings } from '../guard/settings.js';
import { type ProbeId, type Reading, temperatureOf } from '../reading/reading.js';
import type { Sensed } from '../sense/senses.js';
import type { MonotonicMs } from '../time/clock.js';

export type PassResult = {
  readonly readings: readonly Reading[];
  readonly alerts: readonly Alert[];
  /** Whether any alert came, went or changed since the pass before. */
  readonly alertsChanged: boolean;
  /** Alerts that have just become unacknowledged. */
  readonly raised: readonly Alert[];
  readonly answers: readonly CommandAnswer[];
  readonly annunciation: Annunciation;
  /** Why the guard had to start again in this pass: it could not continue from what it remembered. */
  readonly forgotten?: unknown;
};

/** One pass from samples to what should sound. Everything it needs arrives as an argument, so a recording replays through it. */
export class Pass {
  state: GuardState;
  private settings: GuardSettings;
  private converters: ReadonlyMap<ProbeId, Converter>;
  private alerts: readonly Alert[] = [];
  private readonly coldJunctions = new Map<ProbeId, { temperatureC: number; atMs: MonotonicMs }>();

  constructor(settings: GuardSettings, converters: ReadonlyMap<ProbeId, Converter>, state: GuardState) {
    this.settings = settings;
    this.converters = converters;
    this.state = state;
  }

  /** New limits and curves from the next pass on; what the guard remembers stays. */
  retune(settings: GuardSettings, converters: ReadonlyMap<ProbeId, Converter>): void {
    this.settings = settings;
    this.converters = converters;
  }

  run(
    sensed: Sensed,
    commands: readonly AlertCommand[] = [],
    notices: readonly Notice[] = [],
    buzzer?: BuzzerVerdict,
  ): PassResult {
    const readings = this.convert(sensed);
    const { atMs: nowMs, running, board } = sensed;
    const input = { nowMs, readings, running, board, commands, notices, buzzer };
    const { state, alerts, answers, ...judged } = this.judge(input);
    const before = this.alerts;
    this.state = state;
    this.alerts = alerts;
    return {
      readings,
      alerts,
      alertsChanged: alerts.length !== before.length || alerts.some((alert, i) => alert !== before[i]),
      raised: alerts.filter((alert) => isNews(alert, before)),
      answers,
      annunciation: annunciation(alerts, nowMs),
      ...judged,
    };
  }

  /** A state that makes the guard throw would make it throw at every pass; without that state it works, and active alerts sound again. */
  private judge(input: GuardInput): GuardResult & Pick<PassResult, 'forgotten'> {
    try {
      return guard(this.state, input, this.settings);
    } catch (forgotten) {
      return { ...guard(startGuard(input.nowMs), input, this.settings), forgotten };
    }
  }

  private convert({ sampled, atMs }: Sensed): Reading[] {
    return sampled.flatMap((one) => {
      const converter = this.converters.get(one.probe);
      if (!converter) return [];
      const terminals = converter.coldJunction && this.coldJunctions.get(converter.coldJunction);
      const reading =
        terminals && atMs - terminals.atMs <= coldJunctionGoodForMs
          ? converter.convert(one, terminals.temperatureC)
          : converter.convert(one);
      const temperatureC = temperatureOf(reading);
      if (temperatureC !== undefined)
        this.coldJunctions.set(one.probe, { temperatureC, atMs: reading.readAtMs });
      return [reading];
    });
  }
}

/** A cold junction older than this is no longer the temperature of the terminals. */
const coldJunctionGoodForMs = 5_000;

const isNews = (alert: Alert, before: readonly Alert[]): boolean =>
  alert.state === 'unacknowledged' &&
  before.find((earlier) => earlier.id === alert.id)?.state !== 'unacknowledged';
