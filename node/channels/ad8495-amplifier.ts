import { z } from 'zod';
import type { FaultWords } from './fault.js';

export const ad8495Fields = { referenceVolts: z.number().min(0).max(2.5).default(0) };

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
