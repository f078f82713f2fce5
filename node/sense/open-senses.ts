import type { AnalogInput } from '../bus/analog-input.js';
import type { DigitalInput } from '../bus/digital.js';
import type { I2cBus } from '../bus/i2c-bus.js';
import { Ads1115 } from '../chips/ads1115.js';
import type { Engine, Kit, Probe } from '../kit/schema.js';
import type { Clock } from '../time/clock.js';
import { ads1115Channel } from './ads1115-channel.js';
import { AnalogChannel } from './analog-channel.js';
import { mcp960xChannel } from './mcp960x-channel.js';
import { PolledChannel } from './polled-channel.js';
import { Canary } from './reference-pin.js';
import { RunningInput } from './running-input.js';
import type { Channel } from './sample.js';
import { type Sensed, Senses } from './senses.js';

/** What sensing needs of a board; the real one offers more. */
export type SenseBoard = {
  analogInput(pin: string): AnalogInput;
  digitalInput(pin: number, options: { readonly pullUp: boolean }): DigitalInput;
  readonly i2c: I2cBus;
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
  const channels = kit.probes.map((probe) => openChannel(probe, board, converterAt, clock));
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

const openChannel = (
  { id, channel }: Probe,
  board: SenseBoard,
  converterAt: (address: number) => Ads1115,
  clock: Clock,
): Channel => {
  switch (channel.kind) {
    case 'ntc-divider':
    case 'ad8495':
      return new AnalogChannel(id, board.analogInput(channel.pin), clock);
    case 'mcp960x':
      return mcp960xChannel(id, channel, board.i2c, clock);
    case 'ntc-divider-ads1115':
    case 'ad8495-ads1115':
    case 'thermocouple-ads1115':
      return ads1115Channel(id, channel, converterAt(channel.address), clock);
  }
};

const openRunning = (kit: Kit, engine: Engine, board: SenseBoard, clock: Clock): RunningInput | undefined => {
  const wired = kit.engines[engine].runningInput;
  // An opto-coupler pulls the pin down; with the board's own pull-up it needs no other part.
  return wired && new RunningInput(board.digitalInput(wired.pin, { pullUp: wired.activeLow }), wired, clock);
};
