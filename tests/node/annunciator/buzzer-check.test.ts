import { describe, expect, it } from 'vitest';
import { alarmSound, isOn, warningSound } from '../../../node/annunciator/annunciation.js';
import { BuzzerCheck } from '../../../node/annunciator/buzzer-check.js';
import { Buzzer, type BuzzerFault } from '../../../node/bench/circuits/buzzer.js';
import { asMonotonicMs } from '../../../node/time/clock.js';

const wiring = { pin: 'A2', shuntOhms: 10, ratedMilliamps: 25, supplyVolts: 5 };
/** The quickest and the slowest circuit over ordinary parts, as hardware-notes/missing-pulse.md has them. */
const circuits = [0.6, 3.7];

/** A node that beats and orders ten times a second, in front of a buzzer that may be broken. */
class Table {
  verdict = 'well';
  nowMs = 0;
  readonly buzzer = new Buzzer(wiring);
  private readonly check = new BuzzerCheck(wiring);
  private high = false;
  private lastBeatMs = 0;
  private readonly circuitS: number;
  constructor(circuitS = 2.2) {
    this.circuitS = circuitS;
  }

  run(
    forS: number,
    { pattern = [] as readonly number[], beats = true, heard = true, at = (s: number) => s } = {},
  ): this {
    for (let i = 0; i < forS * 10; i++) {
      this.nowMs += 100;
      const circuit = this.nowMs - this.lastBeatMs > this.circuitS * 1000;
      // Counts are whole, and one of noise either way.
      const counts = Math.max(0, Math.round(this.buzzer.share(this.high, circuit) * 1024) + ((i % 3) - 1));
      const milliamps = ((Math.min(1023, counts) / 1024) * 5000) / wiring.shuntOhms;
      this.verdict = this.check.look(asMonotonicMs(this.nowMs), heard ? milliamps : undefined);
      this.high = isOn(pattern, at(i * 100));
      if (beats) this.lastBeatMs = this.nowMs;
      this.check.ordered(asMonotonicMs(this.nowMs), { high: this.high, beat: beats });
    }
    return this;
  }

  with(fault: BuzzerFault | undefined): this {
    this.buzzer.fault = fault;
    return this;
  }
}

describe('a buzzer whose current is read back', () => {
  it.each(circuits)(
    'and that is whole is well through beats, warnings, alarms and a heartbeat that stops (%s s circuit)',
    (circuitS) => {
      const table = new Table(circuitS);
      for (let i = 0; i < 5; i++) {
        for (const pattern of [[], warningSound, alarmSound, []]) {
          expect(table.run(7.3, { pattern }).verdict).toBe('well');
          expect(table.run(0.1 * i, { pattern }).verdict).toBe('well');
        }
        expect(table.run(8, { beats: false }).verdict).toBe('well');
        expect(table.run(8, { beats: false, pattern: alarmSound }).verdict).toBe('well');
      }
    },
  );

  it.each<BuzzerFault>(['dead', 'pin-wire', 'shunt-open'])(
    '%s: three pips of a warning show it, and a sound that is heard ends it',
    (fault) => {
      const table = new Table().run(10).with(fault);
      expect(table.run(0.9, { pattern: warningSound }).verdict).toBe('well');
      expect(table.run(1, { pattern: warningSound, at: (ms) => ms + 900 }).verdict).toBe('silent-pin');
      expect(table.run(60).verdict).toBe('silent-pin');
      expect(table.with(undefined).run(1, { pattern: alarmSound }).verdict).toBe('well');
    },
  );

  it('with Q2 open is found silent 4 to 5 s after the heartbeat stopped, as at each start of an engine, and stays so until it sounds', () => {
    const table = new Table().run(10).with('circuit');
    expect(table.run(3.9, { beats: false }).verdict).toBe('well');
    expect(table.run(1.1, { beats: false }).verdict).toBe('silent-circuit');
    expect(table.run(60, { pattern: alarmSound }).verdict).toBe('silent-circuit');
    expect(table.with(undefined).run(5, { beats: false }).verdict).toBe('well');
  });

  it('that never stops is found 2 s after what was ordered is over, and no sooner', () => {
    const table = new Table().run(10);
    expect(table.with('always-on').run(1.8).verdict).toBe('well');
    expect(table.run(0.4).verdict).toBe('always-on');
    expect(table.with(undefined).run(0.2).verdict).toBe('well');
  });

  it('is not judged while the board is disconnected, and is judged again once it is back', () => {
    const table = new Table()
      .run(10)
      .with('dead')
      .run(5, { heard: false, pattern: alarmSound, beats: false });
    expect(table.verdict).toBe('well');
    expect(table.run(0.5, { pattern: alarmSound }).verdict).toBe('silent-pin');
  });
});
