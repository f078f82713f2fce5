import type { BuzzerVerdict } from '../alerts/buzzer-verdict.js';
import { type BuzzerCurrentWiring, leastMilliamps, mostMilliamps } from '../kit/buzzer-current.js';
import type { MonotonicMs } from '../time/clock.js';

/** The low-pass before the pin (10 ms) and the way of an order over the serial line take this long, ms. */
const settleMs = 80;
/** The slowest missing-pulse circuit over ordinary parts sounds 3.7 s after the last beat, and is quiet soon after the first. */
const circuitSoundsAfterMs = 4_000;
const circuitQuietAfterMs = 5_000;
/** One pass without current may be a count of noise; three pips of a warning have one such pass each. */
const passesWithout = 3;
const alwaysOnAfterMs = 2_000;

/** Compares what was ordered of the buzzer with the current it takes. Knows no pin: it gets both at every pass. */
export class BuzzerCheck {
  private readonly leastMilliamps: number;
  private readonly mostMilliamps: number;
  private lookedAtMs = 0;
  private highSinceMs: number | undefined;
  private lowSinceMs: number | undefined;
  private beatAtMs: number | undefined;
  private beatingSinceMs: number | undefined;
  private stillSinceMs: number | undefined;
  private without = { pin: 0, circuit: 0 };
  private excessMs = 0;
  private alwaysOn = false;

  constructor(wiring: BuzzerCurrentWiring) {
    this.leastMilliamps = leastMilliamps(wiring);
    this.mostMilliamps = mostMilliamps(wiring);
  }

  /** The mean current since the last look, mA; undefined while it is not read, as with the board disconnected. */
  look(nowMs: MonotonicMs, milliamps: number | undefined): BuzzerVerdict {
    const fromMs = this.lookedAtMs;
    this.lookedAtMs = nowMs;
    if (milliamps === undefined) {
      this.highSinceMs =
        this.lowSinceMs =
        this.beatAtMs =
        this.beatingSinceMs =
        this.stillSinceMs =
          undefined;
      return this.verdict;
    }
    const flows = milliamps >= this.leastMilliamps;
    // At the end of the scale the shunt is open, and with it the buzzer's way to 0 V.
    const sounds = flows && milliamps <= this.mostMilliamps;
    if (lastsFrom(this.highSinceMs, fromMs, settleMs)) this.count('pin', sounds);
    else if (lastsFrom(this.lowSinceMs, fromMs, settleMs)) {
      if (lastsFrom(this.stillSinceMs, fromMs, circuitSoundsAfterMs)) this.count('circuit', sounds);
      else if (lastsFrom(this.beatingSinceMs, fromMs, circuitQuietAfterMs)) {
        this.excessMs = flows ? this.excessMs + (nowMs - fromMs) : 0;
        if (this.excessMs >= alwaysOnAfterMs) this.alwaysOn = true;
        if (!flows) this.alwaysOn = false;
      }
    }
    return this.verdict;
  }

  /** What this pass orders: the level of the buzzer pin, and whether the heartbeat ran. */
  ordered(nowMs: MonotonicMs, { high, beat }: { readonly high: boolean; readonly beat: boolean }): void {
    this.highSinceMs = high ? (this.highSinceMs ?? nowMs) : undefined;
    this.lowSinceMs = high ? undefined : (this.lowSinceMs ?? nowMs);
    if (beat) {
      this.beatingSinceMs ??= nowMs;
      this.beatAtMs = nowMs;
      this.stillSinceMs = undefined;
    } else {
      this.stillSinceMs ??= this.beatAtMs ?? nowMs;
      this.beatingSinceMs = undefined;
    }
  }

  private get verdict(): BuzzerVerdict {
    if (this.without.pin >= passesWithout) return 'silent-pin';
    if (this.without.circuit >= passesWithout) return 'silent-circuit';
    return this.alwaysOn ? 'always-on' : 'well';
  }

  private count(path: 'pin' | 'circuit', sounds: boolean): void {
    this.without[path] = sounds ? 0 : this.without[path] + 1;
  }
}

const lastsFrom = (sinceMs: number | undefined, fromMs: number, forMs: number): boolean =>
  sinceMs !== undefined && sinceMs + forMs <= fromMs;
