import { z } from 'zod';
import type { FaultWords } from './fault.js';

export const ad8495Fields = {
  supplyVolts: z.number().min(2.7).max(5.5).default(5),
  referenceVolts: z.number().min(0).max(2.5).default(0),
};

/**
 * With a broken thermocouple the output runs to the supply, but not quite: it stays up to 0.1 V below (AD8494/5/6/7
 * datasheet, output swing; from memory). That is 4.9 V or 965 C on 5 V, a temperature that would be believed. No diesel's
 * exhaust comes near: 800 C is 4.1 V.
 */
export const ad8495RailVolts = 0.15;

/** 5 mV a degree (AD8494/5/6/7 datasheet). */
export const ad8495VoltsPerC = 0.005;

export const ad8495Words: FaultWords = {
  open: [
    'The amplifier is at its supply: its thermocouple is open.',
    'Measure across the thermocouple with its plug out: a few ohm. Tighten the screws of the terminal.',
  ],
  short: [
    'The amplifier gives nothing: no supply, a shorted output, or a thermocouple with its wires swapped.',
    'Measure 5 V at the amplifier. Then swap the thermocouple wires: for type K yellow or green is plus, red or white is minus, by country.',
  ],
};
