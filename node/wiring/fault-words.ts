import type { Channel } from '../kit/schema.js';
import type { MissingReason } from '../reading/reading.js';

/** A fault as somebody with a screwdriver needs it: what it is, and what to look at. */
export type Fault = { readonly fault: string; readonly saying: string; readonly check: string };

type Words = Readonly<Partial<Record<MissingReason, readonly [saying: string, check: string]>>>;

const thermistor: Words = {
  open: [
    'No current flows through the thermistor: its circuit is open, or its signal wire touches the 5 V wire.',
    'Look for a broken wire or a connector half out. Unplugged, the thermistor measures about its R25 at room temperature; if it does, look where signal and 5 V could touch.',
  ],
  short: [
    'The pin lies at the end of the scale where a thermistor would be hotter than it can live.',
    'Look for two bare wires that touch, or a signal wire chafed through to ground or to the engine block.',
  ],
  'short-to-supply': [
    'The pin lies at the supply voltage.',
    'Look for the signal wire touching the 5 V wire, or a thermistor whose two wires touch.',
  ],
};
const amplifier: Words = {
  open: [
    'The amplifier stands at its supply: its thermocouple is open.',
    'Measure across the thermocouple with its plug out: a few ohm. Tighten the screws of the terminal.',
  ],
  short: [
    'The amplifier gives nothing: no supply, a shorted output, or a thermocouple with its wires swapped.',
    'Measure 5 V at the amplifier. Then swap the thermocouple wires: for type K yellow or green is plus, red or white is minus, by country.',
  ],
};
const thermocouple: Words = {
  open: [
    'The thermocouple is open, or it gives less than this type can give.',
    'Measure across it with its plug out: a few ohm. If it is whole and reads well while cold, its two wires are swapped.',
  ],
  short: [
    'The thermocouple touches ground or the supply.',
    'Use a probe with an insulated junction, or find where its wire is chafed.',
  ],
  'out-of-range': [
    'The voltage is beyond what this type can give.',
    'Look for an open thermocouple, and for another letter type in the kit than on its plug.',
  ],
};
const anything: Words = {
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
    'The canary pin is not at its known voltage, so no count of this board is believed.',
    'Measure 5 V at the board under load, and the two resistors of the canary.',
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
  'board-away': ['The board is away, so nothing is known.', 'Look at the board line first.'],
};

const wordsOf = (kind: Channel['kind']): Words => {
  if (kind.startsWith('ntc-divider')) return thermistor;
  return kind.startsWith('ad8495') ? amplifier : thermocouple;
};

/** Words for a reading that is missing. `detail` is what the input itself said, where it said anything. */
export const wordsForMissing = (channel: Channel, reason: MissingReason, detail?: string): Fault => {
  const [saying, check] = wordsOf(channel.kind)[reason] ??
    anything[reason] ?? ['It gives no reading.', 'Check its wires.'];
  return { fault: reason, saying: detail ? `${saying} ${detail}` : saying, check };
};
