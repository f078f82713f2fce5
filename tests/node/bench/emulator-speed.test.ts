import {
  AVRIOPort,
  AVRTimer,
  avrInstruction,
  CPU,
  portBConfig,
  portDConfig,
  timer0Config,
  timer1Config,
  timer2Config,
} from 'avr8js';
import fc from 'fast-check';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { clockHz, EmulatedBoard } from '../../../node/bench/board/emulated-board.js';
import { IdleRounds } from '../../../node/bench/board/idle-rounds.js';
import { attachTimer } from '../../../node/bench/board/patched-timer.js';
import { stockFirmware } from '../../../node/board/flash/firmware-image.js';

/**
 * The bench's board leaves out work that cannot change anything. The reference is the emulator library as it is: its own
 * timers, woken at every tick, and every instruction of the firmware executed.
 */
afterEach(() => vi.restoreAllMocks());

describe('timers woken only when something happens', () => {
  const timers = { 'timer 0': timer0Config, 'timer 1': timer1Config, 'timer 2': timer2Config };
  type Write = {
    readonly afterCycles: number;
    readonly register: 'TCCRA' | 'TCCRB' | 'TCNT' | 'OCRA' | 'OCRB' | 'TIFR';
    readonly value: number;
  };

  /** Registers and pins every few cycles of an empty program while the timer's registers are written as drawn. */
  const seen = (
    attach: (cpu: CPU, config: typeof timer0Config) => void,
    config: typeof timer0Config,
    writes: readonly Write[],
  ) => {
    const cpu = new CPU(new Uint16Array(0x4000));
    const ports = [new AVRIOPort(cpu, portBConfig), new AVRIOPort(cpu, portDConfig)];
    for (const { DDR } of [portBConfig, portDConfig]) cpu.writeData(DDR, 0xff);
    attach(cpu, config);
    const rows: string[] = [];
    const run = (cycles: number) => {
      const end = cpu.cycles + cycles;
      while (cpu.cycles < end) {
        avrInstruction(cpu);
        cpu.tick();
        if (cpu.cycles % 7 === 0)
          rows.push(
            [
              cpu.cycles,
              cpu.data[config.TIFR],
              ...ports.flatMap((port) => [0, 1, 2, 3, 4, 5, 6, 7].map((bit) => port.pinState(bit))),
            ].join(' '),
          );
      }
      rows.push(`counter ${cpu.readData(config.TCNT)}`);
    };
    for (const { afterCycles, register, value } of writes) {
      run(afterCycles);
      cpu.writeData(config[register], value);
    }
    run(3000);
    return rows;
  };

  it.each(Object.entries(timers))('%s sets the same flags and pins in the same cycles', (_, config) => {
    const write = fc.record({
      afterCycles: fc.integer({ min: 1, max: 3000 }),
      register: fc.constantFrom('TCCRA', 'TCCRB', 'TCNT', 'OCRA', 'OCRB', 'TIFR'),
      value: fc.integer({ min: 0, max: 255 }),
    });
    fc.assert(
      fc.property(
        fc.array(write, { minLength: 2, maxLength: 8 }),
        fc.integer({ min: 1, max: 5 }),
        (writes, prescaler) => {
          const started: Write[] = [{ afterCycles: 1, register: 'TCCRB', value: prescaler }, ...writes];
          expect(seen(attachTimer, config, started)).toEqual(
            seen((cpu, own) => new AVRTimer(cpu, own), config, started),
          );
        },
      ),
      { numRuns: 30 },
    );
  });
});

describe('rounds of a waiting program left out', () => {
  /** Every byte sent and every pin switched by stock firmware with the cycle it happened in, four inputs asked for. */
  const diary = (seconds: number) => {
    const entries: string[] = [];
    const board: EmulatedBoard = new EmulatedBoard(stockFirmware('2.3'), {
      analogCounts: (channel, atS) => 400 + 20 * channel + 50 * Math.sin(atS * 7),
      inputLevel: (pin, atS) => pin === 7 && Math.floor(atS * 10) % 2 === 1,
      chips: () => [],
      onOutput: (pin, high, atS) => entries.push(`${Math.round(atS * clockHz)} pin ${pin} ${high}`),
      onSerialOut: (byte) => entries.push(`${board.cycles} sends ${byte}`),
    });
    const asked = [0xc0, 1, 0xc1, 1, 0xc3, 1, 0xd0, 1, 0xf4, 9, 3, 0xe9, 64, 0, 0xf4, 5, 1, 0x90, 32, 0];
    for (let atS = 0; atS < seconds; atS += 0.01) {
      if (Math.abs(atS - 1.8) < 0.005) board.receive(Uint8Array.from(asked));
      board.run(clockHz / 100);
    }
    return { entries, cycles: board.cycles };
  };

  it('stock firmware sends the same bytes and switches the same pins in the same cycles', () => {
    let leftOut = 0;
    const skip = IdleRounds.prototype.skip;
    const counted = vi.spyOn(IdleRounds.prototype, 'skip').mockImplementation(function (
      this: IdleRounds,
      end,
    ) {
      leftOut++;
      skip.call(this, end);
    });
    const quick = diary(2.4);
    counted.mockImplementation(() => {});
    const slow = diary(2.4);
    expect(leftOut).toBeGreaterThan(1000);
    expect(quick.entries.length).toBeGreaterThan(300);
    expect(quick).toEqual(slow);
  });
});
