import type { CPU } from 'avr8js';

// Private in the typings; bracket access is the compiler's own way in.
type NextEvent = CPU['nextClockEvent'];
// biome-ignore lint/complexity/useLiteralKeys: a private member
const nextEventOf = (cpu: CPU): NextEvent => cpu['nextClockEvent'];

/** The main loop of stock firmware takes a few hundred cycles. */
const longestRoundCycles = 4_000;

/**
 * Leaves out the rounds of a program that waits. Firmware spends most of its time going round its main loop until a
 * timer, the converter or the serial line has something for it. When the chip is back at the same instruction with every
 * register and byte of memory as they were, and neither an event came nor a peripheral was touched on the way, then every
 * further round is the same until the next event: whole rounds are added to the cycle counter without being executed.
 * What the chip does, and in which cycle, stays the same (tests/node/bench/emulator-speed.test.ts compares both).
 */
export class IdleRounds {
  readonly #cpu: CPU;
  /** Memory and registers when the round was begun. */
  readonly #memory: Uint8Array;
  /** Reads and writes of registers that act on the emulator's peripherals. */
  #touches = 0;
  #touchesBefore = 0;
  #beganAtCycle = 0;
  #pendingInterrupt = -1;
  #event: NextEvent = null;
  #eventAtCycle = 0;
  /** Length of the undisturbed round last seen from this instruction and this memory; 0 while none was. */
  #roundCycles = 0;
  /** Where the round began: `skip` is due when the chip is here again. */
  pc = -1;
  /** Without a whole round by this cycle, `begin` is due at another instruction. */
  giveUpAtCycle = 0;

  /** To be called when all peripherals are attached to the processor. */
  constructor(cpu: CPU) {
    this.#cpu = cpu;
    this.#memory = new Uint8Array(cpu.data.length);
    this.#countTouches(cpu.readHooks);
    this.#countTouches(cpu.writeHooks);
  }

  #countTouches<Hook extends (...args: never[]) => unknown>(hooks: Record<number, Hook>): void {
    for (const [address, hook] of Object.entries(hooks))
      hooks[Number(address)] = ((...args: Parameters<Hook>) => {
        this.#touches++;
        return hook(...args);
      }) as Hook;
  }

  /** Takes the present instruction as the start of a round. */
  begin(): void {
    const cpu = this.#cpu;
    this.pc = cpu.pc;
    this.#memory.set(cpu.data);
    this.#roundCycles = 0;
    this.#noteOutside();
  }

  #noteOutside(): void {
    const cpu = this.#cpu;
    this.#touchesBefore = this.#touches;
    this.#beganAtCycle = cpu.cycles;
    this.giveUpAtCycle = cpu.cycles + longestRoundCycles;
    this.#pendingInterrupt = cpu.nextInterrupt;
    this.#event = nextEventOf(cpu);
    this.#eventAtCycle = nextEventOf(cpu)?.cycles ?? 0;
  }

  /** The chip is where the round began: leaves out what rounds it can, but does not go beyond the cycle `end`. */
  skip(end: number): void {
    const cpu = this.#cpu;
    const roundCycles = cpu.cycles - this.#beganAtCycle;
    if (cpu.nextInterrupt !== this.#pendingInterrupt || Buffer.compare(this.#memory, cpu.data) !== 0) {
      // Called several times in one round, or something has changed since.
      if (this.#roundCycles > 0 && roundCycles > this.#roundCycles) this.begin();
      return;
    }
    const undisturbed =
      this.#touches === this.#touchesBefore &&
      nextEventOf(cpu) === this.#event &&
      (nextEventOf(cpu)?.cycles ?? 0) === this.#eventAtCycle;
    if (undisturbed) this.#roundCycles = roundCycles;
    if (this.#roundCycles > 0) {
      const until = Math.min(end, (nextEventOf(cpu)?.cycles ?? Number.POSITIVE_INFINITY) - 1);
      const rounds = Math.floor((until - cpu.cycles) / this.#roundCycles);
      if (rounds > 0) cpu.cycles += rounds * this.#roundCycles;
    }
    this.#noteOutside();
  }
}
