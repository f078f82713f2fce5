import type { Fault, FaultWords } from '../channels/fault.js';
import { type Channel, kindOf } from '../channels/table.js';
import type { MissingReason } from '../reading/reading.js';

/** What a missing reading means at any kind of channel. */
const anything: FaultWords = {
  'no-answer': [
    'The chip does not answer.',
    'Check its four wires, its supply, and the address jumper against the kit file.',
  ],
  contradicting: [
    'What the chip says contradicts itself.',
    'Look for a second chip on its address (unplug the others one by one), then for a loose or long wire of the bus.',
  ],
  reversed: [
    'It reads far below its own terminals, which an exhaust cannot be: plus and minus are swapped.',
    'Swap its two wires. Then warm the tip in your hand: the reading must rise.',
  ],
  'canary-astray': [
    'The reference pin is not at its known voltage, so no count of this board is believed.',
    'Measure 5 V at the board under load, and the two resistors of the reference pin.',
  ],
  implausible: [
    'What it says cannot be true here.',
    'Compare the kit file with what is really connected to this input.',
  ],
  'out-of-range': [
    'The voltage is beyond what this input can measure.',
    'Check the supply of the amplifier and the input named in the kit file.',
  ],
  stale: [
    'It has fallen silent, though the board answers.',
    'Reset the board. If it stays so, its converter or the chip hangs: look for a short on the bus wires.',
  ],
  'board-away': ['The board is disconnected, so nothing is known.', 'Look at the board line first.'],
};

/** Words for a reading that is missing. `detail` is what the input itself said, where it said anything. */
export const wordsForMissing = (channel: Channel, reason: MissingReason, detail?: string): Fault => {
  const [message, check] = kindOf(channel).words[reason] ??
    anything[reason] ?? ['It gives no reading.', 'Check its wires.'];
  return { fault: reason, message: detail ? `${message} ${detail}` : message, check };
};
