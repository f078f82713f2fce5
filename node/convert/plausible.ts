import type { Channel } from '../kit/schema.js';
import type { MissingReason } from '../reading.js';

/**
 * No engine room, sea or elbow is colder, and no thermistor on an elbow lives to be hotter: a probe that says so is
 * broken or wired wrong. Common practice, no source; wide enough for a hard winter and a burnt elbow.
 */
const thermistorMinC = -30;
const thermistorMaxC = 200;
const thermocoupleMinC = -40;
/** Exhaust gas of a marine diesel stays below about 800 C; common practice, no source. */
const thermocoupleMaxC = 1000;

/** Why a temperature cannot be true at this input, or undefined when it can. */
export const implausibleC = (channel: Channel, temperatureC: number): MissingReason | undefined => {
  if (channel.kind.startsWith('ntc-divider')) {
    // Through a wet connector an open thermistor still passes a little: very cold is open, very hot is shorted.
    if (temperatureC < thermistorMinC) return 'open';
    if (temperatureC > thermistorMaxC) return 'short';
    return undefined;
  }
  return temperatureC < thermocoupleMinC || temperatureC > thermocoupleMaxC ? 'implausible' : undefined;
};
