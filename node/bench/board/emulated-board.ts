import { AVREEPROM, AVRIOPort, AVRTWI, avrInstruction, CPU, EEPROMMemoryBackend, PinState } from 'avr8js';
import { attachConverter } from './attach-converter.js';
import { type AvrChip, atmega328p } from './avr-chip.js';
import type { BoardWiring } from './board-wiring.js';
import { IdleRounds } from './idle-rounds.js';
import { attachTimer } from './patched-timer.js';
import { PatchedUsart } from './patched-usart.js';
import { TwoWireBus } from './two-wire-bus.js';

export const clockHz = 16_000_000;
/** The emulator's data memory starts with 256 bytes of registers. */
const registerBytes = 0x100;

/** Stock firmware introduces itself 2.1 s after a reset (measured); what is silent for longer never will. */
const startTakesS = 4;

/** Why the chip woke, as bits of MCUSR (ATmega328P data sheet DS40002061, 10.9.1). */
export const wokeBy = { power: 0x01, resetLine: 0x02, watchdog: 0x08 } as const;

/** What is soldered and burnt in: the chip, and what it needs when its fuses name a bootloader. */
export type BoardMake = {
  readonly chip: AvrChip;
  /** Called at each waking; a chip without it starts at 0 and cannot write its own flash. */
  readonly startInBootloader?: (cpu: CPU, cause: keyof typeof wokeBy) => BootParts;
};
/** The part of the silicon that only a bootloader needs (tests/bench/boot-section.ts). */
export type BootParts = { beforeInstruction(): void; readonly watchdogBit: boolean };
const uno: BoardMake = { chip: atmega328p };

/**
 * An Arduino-class board: its microcontroller at 16 MHz with flash, USART, converter, two-wire unit, timers and
 * ports. It runs only while stepped, and its time is the number of its clock cycles.
 */
export class EmulatedBoard {
  readonly #make: BoardMake;
  /** Lasts over resets and power cuts; a bootloader writes into it. */
  readonly #flash: Uint16Array;
  readonly #wiring: BoardWiring;
  #silicon: Silicon | undefined;
  /** Cycles that passed before the present silicon woke, powered or not. */
  #cyclesBefore = 0;
  #wokeAtS = 0;
  #hasSpoken = false;
  #highOutputs = new Set<number>();
  /** A chip holds the two wires low: no transfer ends, and stock firmware waits for ever. */
  busHeld = false;
  /** The crystal is stopped: nothing runs, and the outputs stay as they are. */
  frozen = false;

  /** `flash` is the chip's whole program memory. */
  constructor(flash: Uint16Array, wiring: BoardWiring, make: BoardMake = uno) {
    this.#make = make;
    this.#flash = flash;
    this.#wiring = wiring;
    this.powerOn();
  }

  get powered(): boolean {
    return this.#silicon !== undefined;
  }

  /** Whole clock cycles since the board was made; they count on while its power is off. */
  get cycles(): number {
    return this.#cyclesBefore + (this.#silicon?.cpu.cycles ?? 0);
  }

  get nowS(): number {
    return this.cycles / clockHz;
  }

  /** It woke a short while ago, and its program has said nothing on the serial line yet. */
  get isStarting(): boolean {
    return this.powered && !this.#hasSpoken && this.nowS - this.#wokeAtS < startTakesS;
  }

  /** Bytes the present silicon could not take. */
  get lostBytes(): number {
    return this.#silicon?.usart.lostBytes ?? 0;
  }

  /** Bits a second that the program has set the serial line to. */
  get baud(): number | undefined {
    return this.#silicon?.usart.baud;
  }

  powerOn(): void {
    if (!this.#silicon) this.#silicon = this.#wake('power');
  }

  powerOff(): void {
    this.#cyclesBefore = this.cycles;
    this.#silicon = undefined;
    this.#releaseOutputs();
  }

  /** The reset line, as the serial adapter pulls it when a computer opens the port. Does nothing without power. */
  reset(): void {
    if (this.#silicon) this.#wakeAgain('resetLine');
  }

  receive(bytes: Uint8Array): void {
    this.#silicon?.usart.receive(bytes);
  }

  /** Runs for at least `cycles` clock cycles; an instruction is never cut. */
  run(cycles: number): void {
    const silicon = this.#silicon;
    if (!silicon || this.frozen) {
      this.#cyclesBefore += cycles;
      return;
    }
    const { cpu } = silicon;
    this.#driveInputs(silicon);
    const end = cpu.cycles + cycles;
    if (silicon.boot) {
      this.#runWithBootloader(silicon, silicon.boot, end);
      return;
    }
    while (cpu.cycles < end) step(silicon, end);
  }

  /** Stops short of `end` when the watchdog resets the chip. */
  #runWithBootloader(silicon: Silicon, boot: BootParts, end: number): void {
    const { cpu } = silicon;
    while (cpu.cycles < end && !boot.watchdogBit) {
      boot.beforeInstruction();
      step(silicon, end);
    }
    if (boot.watchdogBit) this.#wakeAgain('watchdog');
  }

  #wakeAgain(cause: keyof typeof wokeBy): void {
    this.powerOff();
    this.#silicon = this.#wake(cause);
  }

  #wake(cause: keyof typeof wokeBy): Silicon {
    const { chip, startInBootloader } = this.#make;
    this.#wokeAtS = this.#cyclesBefore / clockHz;
    this.#hasSpoken = false;
    const cpu = new CPU(this.#flash, chip.lastDataAddress + 1 - registerBytes);
    for (const timer of chip.timers) attachTimer(cpu, timer);
    new AVREEPROM(cpu, new EEPROMMemoryBackend(chip.eepromBytes), chip.eeprom);
    const usart = new PatchedUsart(cpu, chip.usart, clockHz, (byte) => {
      this.#hasSpoken = true;
      this.#wiring.onSerialOut(byte);
    });
    const twi = new AVRTWI(cpu, chip.twi, clockHz);
    twi.eventHandler = new TwoWireBus(cpu, twi, {
      clockHz,
      chips: () => (this.busHeld ? 'held' : this.#wiring.chips()),
      nowS: () => this.nowS,
    });
    attachConverter(cpu, chip.adc, (channel) => this.#wiring.analogCounts(channel, this.nowS));
    const pins = this.#connectPins(cpu);
    const boot = startInBootloader?.(cpu, cause);
    const silicon = { cpu, usart, pins, boot, idle: new IdleRounds(cpu) };
    this.#driveInputs(silicon);
    return silicon;
  }

  #connectPins(cpu: CPU): Pin[] {
    const ports = new Map<number, AVRIOPort>();
    const { digitalPins, portsOfAnalogPins } = this.#make.chip;
    for (const config of portsOfAnalogPins) new AVRIOPort(cpu, config);
    const pins = digitalPins.map(({ port: config, bit }) => {
      const port = ports.get(config.PIN) ?? new AVRIOPort(cpu, config);
      ports.set(config.PIN, port);
      return { port, bit };
    });
    for (const port of ports.values()) {
      const own = pins.flatMap((pin, number) => (pin.port === port ? [{ number, bit: pin.bit }] : []));
      port.addListener(() => this.#reportOutputs(port, own));
    }
    return pins;
  }

  #driveInputs({ pins }: Silicon): void {
    for (const [number, { port, bit }] of pins.entries())
      port.setPin(bit, this.#wiring.inputLevel(number, this.nowS) ?? false);
  }

  #reportOutputs(port: AVRIOPort, pins: readonly { readonly number: number; readonly bit: number }[]): void {
    for (const { number, bit } of pins) {
      const high = port.pinState(bit) === PinState.High;
      if (high === this.#highOutputs.has(number)) continue;
      if (high) this.#highOutputs.add(number);
      else this.#highOutputs.delete(number);
      this.#wiring.onOutput(number, high, this.nowS);
    }
  }

  #releaseOutputs(): void {
    for (const pin of this.#highOutputs) this.#wiring.onOutput(pin, false, this.nowS);
    this.#highOutputs.clear();
  }
}

type Pin = { readonly port: AVRIOPort; readonly bit: number };

/** One instruction, and the rounds of waiting that follow it up to the cycle `end`. */
function step({ cpu, idle }: Silicon, end: number): void {
  avrInstruction(cpu);
  cpu.tick();
  if (cpu.pc === idle.pc) idle.skip(end);
  else if (cpu.cycles > idle.giveUpAtCycle) idle.begin();
}

type Silicon = {
  readonly cpu: CPU;
  readonly idle: IdleRounds;
  readonly usart: PatchedUsart;
  readonly pins: readonly Pin[];
  readonly boot: BootParts | undefined;
};
