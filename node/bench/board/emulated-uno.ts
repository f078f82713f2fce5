import {
  ADCMuxInputType,
  AVRADC,
  AVREEPROM,
  AVRIOPort,
  AVRTimer,
  AVRTWI,
  adcConfig,
  avrInstruction,
  CPU,
  EEPROMMemoryBackend,
  PinState,
  portBConfig,
  portCConfig,
  portDConfig,
  timer0Config,
  timer1Config,
  timer2Config,
  twiConfig,
} from 'avr8js';
import { MendedUsart } from './mended-usart.js';
import { TwoWireBus, type TwoWireChip } from './two-wire-bus.js';

export const clockHz = 16_000_000;
const sramBytes = 2048;

/** What the board's sockets are wired to. The board asks; nothing here has a clock of its own. */
export type UnoWiring = {
  /**
   * Counts of the 10-bit converter for A0 to A5 at `atS`, before clipping to 0..1023 and truncation,
   * so that noise may be added; undefined where nothing is connected.
   */
  analogCounts(channel: number, atS: number): number | undefined;
  /** Level that the outside drives onto D0 to D13, asked every few milliseconds; undefined floats (reads low). */
  inputLevel(pin: number, atS: number): boolean | undefined;
  /** The chips that answer at this moment. */
  chips(): readonly TwoWireChip[];
  /** D0 to D13 as an output changed; an undriven pin counts as low, as with a pull-down resistor. */
  onOutput(pin: number, high: boolean, atS: number): void;
  onSerialOut(byte: number): void;
};

/**
 * An Arduino Uno: an ATmega328P at 16 MHz with its flash, USART, converter, two-wire unit, timers
 * and ports. It runs only while told to, and its time is the number of its clock cycles.
 */
export class EmulatedUno {
  readonly #program: Uint16Array;
  readonly #wiring: UnoWiring;
  #silicon: Silicon | undefined;
  /** Cycles that passed before the present silicon woke, powered or not. */
  #cyclesBefore = 0;
  #highOutputs = new Set<number>();
  /** A chip holds the two wires low: no transfer ends, and stock firmware waits for ever. */
  busHeld = false;
  /** The crystal stands still: nothing runs, and the outputs stay as they are. */
  frozen = false;

  constructor(program: Uint16Array, wiring: UnoWiring) {
    this.#program = program;
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

  /** Bytes the present silicon could not take. */
  get lostBytes(): number {
    return this.#silicon?.usart.lostBytes ?? 0;
  }

  powerOn(): void {
    if (!this.#silicon) this.#silicon = this.#wake();
  }

  powerOff(): void {
    this.#cyclesBefore = this.cycles;
    this.#silicon = undefined;
    this.#releaseOutputs();
  }

  /** The reset line, as the serial adapter pulls it when a computer opens the port. Does nothing without power. */
  reset(): void {
    if (!this.#silicon) return;
    this.powerOff();
    this.powerOn();
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
    while (cpu.cycles < end) {
      avrInstruction(cpu);
      cpu.tick();
    }
  }

  #wake(): Silicon {
    const cpu = new CPU(this.#program, sramBytes);
    for (const timer of [timer0Config, timer1Config, timer2Config]) new AVRTimer(cpu, timer);
    new AVREEPROM(cpu, new EEPROMMemoryBackend(1024));
    const usart = new MendedUsart(cpu, clockHz, (byte) => this.#wiring.onSerialOut(byte));
    const twi = new AVRTWI(cpu, twiConfig, clockHz);
    twi.eventHandler = new TwoWireBus(cpu, twi, {
      clockHz,
      chips: () => (this.busHeld ? 'held' : this.#wiring.chips()),
      nowS: () => this.nowS,
    });
    this.#connectConverter(cpu);
    const low = new AVRIOPort(cpu, portDConfig);
    const high = new AVRIOPort(cpu, portBConfig);
    new AVRIOPort(cpu, portCConfig);
    const silicon = { cpu, usart, ports: { low, high } };
    low.addListener(() => this.#reportOutputs(low, 0, 8));
    high.addListener(() => this.#reportOutputs(high, 8, 6));
    this.#driveInputs(silicon);
    return silicon;
  }

  #connectConverter(cpu: CPU): void {
    const adc = new AVRADC(cpu, adcConfig);
    /** An unconnected input keeps about the charge of the channel converted before it. */
    let held = 0;
    adc.onADCRead = (input) => {
      if (input.type === ADCMuxInputType.SingleEnded)
        held = this.#wiring.analogCounts(input.channel, this.nowS) ?? held;
      else held = input.type === ADCMuxInputType.Constant ? (input.voltage / 5) * 1024 : held;
      const counts = Math.min(Math.max(Math.floor(held), 0), 1023);
      cpu.addClockEvent(() => adc.completeADCRead(counts), adc.sampleCycles);
    };
  }

  #driveInputs({ ports }: Silicon): void {
    for (let pin = 0; pin < 14; pin++) {
      const level = this.#wiring.inputLevel(pin, this.nowS) ?? false;
      if (pin < 8) ports.low.setPin(pin, level);
      else ports.high.setPin(pin - 8, level);
    }
  }

  #reportOutputs(port: AVRIOPort, firstPin: number, count: number): void {
    for (let bit = 0; bit < count; bit++) {
      const pin = firstPin + bit;
      const high = port.pinState(bit) === PinState.High;
      if (high === this.#highOutputs.has(pin)) continue;
      if (high) this.#highOutputs.add(pin);
      else this.#highOutputs.delete(pin);
      this.#wiring.onOutput(pin, high, this.nowS);
    }
  }

  #releaseOutputs(): void {
    for (const pin of this.#highOutputs) this.#wiring.onOutput(pin, false, this.nowS);
    this.#highOutputs.clear();
  }
}

type Silicon = {
  readonly cpu: CPU;
  readonly usart: MendedUsart;
  readonly ports: { readonly low: AVRIOPort; readonly high: AVRIOPort };
};
