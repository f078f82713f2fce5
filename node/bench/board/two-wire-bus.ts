import type { AVRTWI, CPU, TWIEventHandler } from 'avr8js';

/** A chip on the emulated two-wire bus, one byte at a time, as the wires see it. */
export interface TwoWireChip {
  /** Seven bits. */
  readonly address: number;
  /** Called at a start or repeated start that bears the address; false leaves it unacknowledged. */
  begin(write: boolean, atS: number): boolean;
  /** A byte from the board; false does not acknowledge it. */
  write(byte: number): boolean;
  /** The next byte for the board. */
  read(): number;
  end(): void;
}

/** Eight bits and the acknowledgement. */
const clocksPerByte = 9;

/** Connects the emulator's TWI unit to the chips, with every transfer taking its time on the wires. */
export class TwoWireBus implements TWIEventHandler {
  readonly #cpu: CPU;
  readonly #twi: AVRTWI;
  readonly #chips: () => readonly TwoWireChip[] | 'held';
  readonly #clockHz: number;
  readonly #nowS: () => number;
  #addressed: readonly TwoWireChip[] = [];

  /** `chips` answers with the chips on the wires now, or with `held` while one of them holds a wire low. */
  constructor(
    cpu: CPU,
    twi: AVRTWI,
    outside: {
      readonly clockHz: number;
      readonly chips: () => readonly TwoWireChip[] | 'held';
      readonly nowS: () => number;
    },
  ) {
    this.#cpu = cpu;
    this.#twi = twi;
    this.#clockHz = outside.clockHz;
    this.#chips = outside.chips;
    this.#nowS = outside.nowS;
  }

  start(): void {
    // A start condition cannot be made while a wire is held low.
    if (this.#chips() !== 'held') this.#after(1, () => this.#twi.completeStart());
  }

  stop(): void {
    for (const chip of this.#addressed) chip.end();
    this.#addressed = [];
    this.#after(1, () => this.#twi.completeStop());
  }

  connectToSlave(address: number, write: boolean): void {
    this.#after(clocksPerByte, () => {
      const chips = this.#chips();
      if (chips === 'held') return;
      this.#addressed = chips.filter((chip) => chip.address === address && chip.begin(write, this.#nowS()));
      this.#twi.completeConnect(this.#addressed.length > 0);
    });
  }

  writeByte(value: number): void {
    this.#after(clocksPerByte, () => {
      const acknowledged = this.#addressed.map((chip) => chip.write(value));
      this.#twi.completeWrite(acknowledged.includes(true));
    });
  }

  /** Open-drain wires: any chip that pulls a bit low wins, and an idle bus reads 0xFF. */
  readByte(): void {
    this.#after(clocksPerByte, () => {
      this.#twi.completeRead(this.#addressed.reduce((wires, chip) => wires & chip.read(), 0xff));
    });
  }

  #after(clocks: number, act: () => void): void {
    this.#cpu.addClockEvent(act, Math.round((clocks * this.#clockHz) / this.#twi.sclFrequency));
  }
}
