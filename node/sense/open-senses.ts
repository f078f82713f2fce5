import type { DigitalInput } from '../bus/digital.js';
import type { InputBoard } from '../channels/kind.js';
import { kindOf } from '../channels/table.js';
import { Ads1115 } from '../chips/ads1115.js';
import { PolledChannel } from '../input/polled-channel.js';
import type { Engine, Kit } from '../kit/schema.js';
import type { Clock } from '../time/clock.js';
import { Canary } from './reference-pin.js';
import { RunningInput } from './running-input.js';
import { type Sensed, Senses } from './senses.js';

/** What sensing needs of a board; the real one offers more. */
export type SenseBoard = Pick<InputBoard, 'analogInput' | 'i2c'> & {
  digitalInput(pin: number, options: { readonly pullUp: boolean }): DigitalInput;
  status(): { readonly state: Sensed['board'] };
};

/** Opens every input the kit names and begins to ask the chips. Called once in the life of a board. */
export const openSenses = (
  kit: Kit,
  board: SenseBoard,
  clock: Clock,
): { senses: Senses; stop: () => void } => {
  const chips = new Map<number, Ads1115>();
  const converterAt = (address: number): Ads1115 => {
    const chip = chips.get(address) ?? new Ads1115(board.i2c, address);
    chips.set(address, chip);
    return chip;
  };
  const inputs: InputBoard = {
    analogInput: (pin) => board.analogInput(pin),
    i2c: board.i2c,
    converterAt,
    clock,
  };
  const channels = kit.probes.map(({ id, channel }) => kindOf(channel).open(id, channel, inputs));
  const port = openRunning(kit, 'port', board, clock);
  const starboard = openRunning(kit, 'starboard', board, clock);
  const canary = kit.canary && new Canary(board.analogInput(kit.canary.pin), kit.canary.shareOfSupply, clock);
  const senses = new Senses({
    channels,
    clock,
    board: () => board.status().state,
    canary: () => canary?.verdict() ?? 'none',
    running: () => {
      const portRuns = port?.isRunning();
      const starboardRuns = starboard?.isRunning();
      return {
        ...(portRuns !== undefined && { port: portRuns }),
        ...(starboardRuns !== undefined && { starboard: starboardRuns }),
      };
    },
  });
  return {
    senses,
    stop: () => {
      for (const channel of channels) if (channel instanceof PolledChannel) channel.stop();
    },
  };
};

const openRunning = (kit: Kit, engine: Engine, board: SenseBoard, clock: Clock): RunningInput | undefined => {
  const wired = kit.engines[engine].runningInput;
  // An opto-coupler pulls the pin down; with the board's own pull-up it needs no other part.
  return wired && new RunningInput(board.digitalInput(wired.pin, { pullUp: wired.activeLow }), wired, clock);
};
