import { type BoardMake, clockHz, wokeBy } from '../../node/bench/board/emulated-board.js';
import type { BootableChip } from './bootable-chips.js';
import { attachWatchdog } from './patched-watchdog.js';
import { SelfProgramming, spmOpcode } from './self-programming.js';

/** A board whose fuses name a boot section that begins at this byte. */
export const withBootSection = (chip: BootableChip, bootFromByte: number): BoardMake => ({
  chip,
  startInBootloader(cpu, cause) {
    const selfProgramming = new SelfProgramming(cpu, chip, { clockHz, bootFromByte });
    const boot = {
      watchdogBit: false,
      beforeInstruction() {
        if (cpu.progMem[cpu.pc] === spmOpcode) selfProgramming.execute();
      },
    };
    cpu.pc = bootFromByte / 2;
    cpu.data[chip.watchdog.MCUSR] = wokeBy[cause];
    attachWatchdog(cpu, chip.watchdog, {
      clockHz,
      hasBitten: cause === 'watchdog',
      onBite: () => {
        boot.watchdogBit = true;
      },
    });
    return boot;
  },
});
