import { AnalogChannel } from '../input/analog-channel.js';
import type { ProbeId } from '../reading/reading.js';
import type { InputBoard } from './kind.js';

type OnPin = { readonly pin: string };

/** What all kinds share that are read on a pin of the board's own converter. */
export const onAnaloguePin = {
  takes: ({ pin }: OnPin) => [`pin ${pin}`],
  inputName: ({ pin }: OnPin) => pin,
  wired: ({ pin }: OnPin): unknown => pin,
  open: (probe: ProbeId, { pin }: OnPin, board: InputBoard) =>
    new AnalogChannel(probe, board.analogInput(pin), board.clock),
};
