import { AVRClock, AVRWatchdog, type CPU, type watchdogConfig } from 'avr8js';

const systemReset = 0x08;
const changeEnable = 0x10;
const timeAndReset = 0x2f;
/** The window that a write of WDCE and WDE opens. */
const windowCycles = 4;

/**
 * The emulator's watchdog with two departures from the silicon corrected (ATmega328P data sheet DS40002061, 10.9.2):
 * WDE can be set at any time, only clearing it or changing the time needs the window;
 * and after it has bitten it stays on, with its shortest time, until the program switches it off.
 * `onBite` is called where the chip would reset.
 */
export function attachWatchdog(
  cpu: CPU,
  config: typeof watchdogConfig,
  options: { readonly clockHz: number; readonly hasBitten: boolean; readonly onBite: () => void },
): void {
  new AVRWatchdog(cpu, config, new AVRClock(cpu, options.clockHz));
  const write = cpu.writeHooks[config.WDTCSR];
  let opened = Number.NEGATIVE_INFINITY;
  const open = systemReset | changeEnable;
  cpu.writeHooks[config.WDTCSR] = (value, old, address, mask) => {
    if ((value & open) === open) opened = cpu.cycles;
    else if ((value & systemReset) !== 0 && cpu.cycles - opened >= windowCycles) {
      write?.(open, old, address, mask);
      return (
        write?.((value & ~timeAndReset) | (old & timeAndReset) | systemReset, old, address, mask) ?? false
      );
    }
    return write?.(value, old, address, mask) ?? false;
  };
  if (options.hasBitten) cpu.writeData(config.WDTCSR, systemReset);
  // The emulator resets no more than its registers of the core; the whole chip is our business.
  cpu.reset = options.onBite;
}
