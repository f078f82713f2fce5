import type { DigitalInput } from '../bus/digital.js';
import type { InputBoard } from '../channels/kind.js';
import { kindOf } from '../channels/table.js';
import { Ads1115 } from '../chips/ads1115.js';
import { takingTurns } from '../input/bus-turn.js';
import { PolledChannel } from '../input/polled-channel.js';
import type { KitEngine } from '../kit/engines.js';
import type { Kit } from '../kit/schema.js';
import type { Clock } from '../time/clock.js';
import { BuzzerCurrentInput } from './buzzer-current.js';
import { ReferencePin } from './reference-pin.js';
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
    turn: takingTurns(),
    converterAt,
    clock,
  };
  const channels = kit.probes.map(({ id, channel }) => kindOf(channel).open(id, channel, inputs));
  const runningInputs = kit.engines.flatMap((engine) => openRunning(engine, board, clock));
  const referencePin =
    kit.referencePin &&
    new ReferencePin(board.analogInput(kit.referencePin.pin), kit.referencePin.shareOfSupply, clock);
  const { buzzerCurrent } = kit;
  const senses = new Senses({
    channels,
    ...(buzzerCurrent && {
      buzzer: new BuzzerCurrentInput(board.analogInput(buzzerCurrent.pin), buzzerCurrent, clock),
    }),
    clock,
    board: () => board.status().state,
    referencePin: () => referencePin?.verdict() ?? 'none',
    running: () => {
      const known: Record<string, boolean> = {};
      for (const { engine, input } of runningInputs) {
        const runs = input.isRunning();
        if (runs !== undefined) known[engine] = runs;
      }
      return known;
    },
  });
  return {
    senses,
    stop: () => {
      for (const channel of channels) if (channel instanceof PolledChannel) channel.stop();
    },
  };
};

const openRunning = ({ id, runningInput: wired }: KitEngine, board: SenseBoard, clock: Clock) => {
  if (!wired) return [];
  // An opto-coupler pulls the pin down; with the board's own pull-up it needs no other part.
  const level = board.digitalInput(wired.pin, { pullUp: wired.activeLow });
  return [{ engine: id, input: new RunningInput(level, wired, clock) }];
};
