import type { Channel } from '../kit/schema.js';
import type { MissingReason } from '../reading/reading.js';

/**
 * No engine room, sea or elbow is colder, and no thermistor on an elbow lives to be hotter: a probe that says so is
 * broken or wired wrong. Common practice, no source; wide enough for a hard winter and a burnt elbow.
 */
const thermistorMinC = -30;
const thermistorMaxC = 200;
const thermocoupleMinC = -40;
/** Exhaust gas of a marine diesel stays below about 800 C; common practice, no source. */
const thermocoupleMaxC = 1000;

/**
 * A probe in gas may be colder than its terminals in a warm engine room, by ten or twenty degrees; by more than this its
 * wires are swapped. Common practice, no source. As a voltage: 40 K of type K, and more of the other base-metal types.
 */
const reversedBelowTerminalsC = 40;
export const reversedBelowMicrovolts = -1_600;

/** Why a temperature cannot be true at this input, or undefined when it can. */
export const implausibleC = (
  channel: Channel,
  temperatureC: number,
  coldJunctionC?: number,
): MissingReason | undefined => {
  if (channel.kind.startsWith('ntc-divider')) {
    // Through a wet connector an open thermistor still passes a little: very cold is open, very hot is shorted.
    if (temperatureC < thermistorMinC) return 'open';
    if (temperatureC > thermistorMaxC) return 'short';
    return undefined;
  }
  if (coldJunctionC !== undefined && coldJunctionC - temperatureC > reversedBelowTerminalsC)
    return 'reversed';
  return temperatureC < thermocoupleMinC || temperatureC > thermocoupleMaxC ? 'implausible' : undefined;
};
