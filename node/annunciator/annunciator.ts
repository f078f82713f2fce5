import type { DigitalOutput } from '../bus/digital.js';
import type { MonotonicMs } from '../time/clock.js';
import { type Annunciation, isOn, type Pattern } from './annunciation.js';

export type Pins = {
  readonly buzzer: DigitalOutput;
  readonly lamp: DigitalOutput;
  readonly heartbeat: DigitalOutput;
};

/**
 * Plays annunciations on the pins and gives the heartbeat. Levels are written on every pass, changed or not: a board
 * that was reset in between has forgotten them.
 */
export class Annunciator {
  private readonly pins: Pins;
  private buzzer = new Player();
  private lamp = new Player();
  private heartbeatHigh = false;

  constructor(pins: Pins) {
    this.pins = pins;
  }

  /** Gives the level of the buzzer pin. */
  play(annunciation: Annunciation, nowMs: MonotonicMs): boolean {
    this.buzzer.set(annunciation.buzzer, annunciation.soundingIds, nowMs);
    this.lamp.set(annunciation.lamp, [], nowMs);
    const high = this.buzzer.isOn(nowMs);
    this.pins.buzzer.write(high);
    this.pins.lamp.write(this.lamp.isOn(nowMs));
    return high;
  }

  /** Called after a pass that has proven its work and at no other time: the missing-pulse circuit sounds when it stops. */
  beat(): void {
    this.heartbeatHigh = !this.heartbeatHigh;
    this.pins.heartbeat.write(this.heartbeatHigh);
  }

  /** Everything low. The heartbeat stops with it, so the missing-pulse circuit sounds. */
  stop(): void {
    this.pins.buzzer.write(false);
    this.pins.lamp.write(false);
    this.pins.heartbeat.write(false);
  }
}

class Player {
  private pattern: Pattern | undefined;
  private startedAtMs = 0;
  private ids: readonly string[] = [];

  set(pattern: Pattern | undefined, ids: readonly string[], nowMs: MonotonicMs): void {
    const joined = ids.some((id) => !this.ids.includes(id));
    if (pattern !== this.pattern || joined) {
      this.pattern = pattern;
      this.startedAtMs = nowMs;
    }
    this.ids = ids;
  }

  isOn(nowMs: MonotonicMs): boolean {
    return isOn(this.pattern, nowMs - this.startedAtMs);
  }
}
