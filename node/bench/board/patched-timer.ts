import { AVRTimer, type AVRTimerConfig, type CPU } from 'avr8js';

/** What this needs of the emulator's timer; private in its typings. */
type Inside = {
  count(reschedule?: boolean, external?: boolean): void;
  readonly updateDivider: boolean;
  /** Cycles in a tick; 0 while the timer is stopped. */
  readonly divider: number;
  readonly lastCycle: number;
  readonly tcnt: number;
  readonly TOP: number;
  readonly ocrA: number;
  readonly ocrB: number;
  readonly ocrC: number;
  readonly timerMode: number;
  readonly countingUp: boolean;
};
/** The emulator's modes that count up and down: phase correct, phase and frequency correct. */
const upAndDown = new Set([1, 4]);

/**
 * The emulator's timer, woken only when something happens. The emulator wakes each timer at every tick, with stock firmware
 * three times in 64 cycles; but it can also bring its counter up to date when asked. Here it sleeps until the counter
 * reaches a compare value, its top or zero, and is brought up to date before its registers are written. Flags, interrupts
 * and pins change in the same cycles as without this (tests/node/bench/emulator-speed.test.ts).
 */
export function attachTimer(cpu: CPU, config: AVRTimerConfig): void {
  const timer = new AVRTimer(cpu, config) as unknown as Inside;
  const countOnly = timer.count;
  timer.count = (reschedule = true, external = false) => {
    // A new prescaler makes the emulator schedule by itself.
    if (timer.updateDivider) return countOnly(reschedule, external);
    countOnly(false, external);
    if (reschedule && timer.divider > 0) cpu.addClockEvent(timer.count, cyclesToSleep(timer, cpu.cycles));
  };

  const { TCNT, OCRA, OCRB, OCRC, ICR, TCCRA, TCCRB } = config;
  for (const register of [TCNT, OCRA, OCRB, OCRC, ICR, TCCRA, TCCRB]) {
    const write = cpu.writeHooks[register];
    if (!write) continue;
    cpu.writeHooks[register] = (...written) => {
      timer.count(false);
      const answer = write(...written);
      if (register !== TCNT && register !== TCCRB && timer.divider > 0)
        cpu.updateClockEvent(timer.count, cyclesToSleep(timer, cpu.cycles));
      return answer;
    };
  }
}

const cyclesToSleep = (timer: Inside, nowCycle: number): number =>
  timer.lastCycle + timer.divider * ticksToSleep(timer) - nowCycle;

function ticksToSleep({ tcnt, TOP, ocrA, ocrB, ocrC, timerMode, countingUp }: Inside): number {
  const falling = upAndDown.has(timerMode) && !countingUp;
  const end = falling ? 0 : TOP;
  const ticksTo = (mark: number) => (falling ? tcnt - mark : mark - tcnt);
  // The tick from the end is counted alone: the emulator knows an overflow by a smaller count than before.
  if (ticksTo(end) <= 0) return 1;
  return Math.min(...[ocrA, ocrB, ocrC, end].map(ticksTo).filter((ticks) => ticks > 0));
}
