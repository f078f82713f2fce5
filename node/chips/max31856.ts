/**
 * MAX31856, precision thermocouple converter over SPI. Maxim 19-7534 rev 0 (2015), register map and tables 2 to 5.
 * The stock firmware has no SPI: the decoders wait for a board that has.
 */

/** Registers 0x0C to 0x0E: 19 bits, two's complement, 0.0078125 C each, the low five bits unused. Already linearised. */
export const decodeMax31856ThermocoupleC = ([high = 0, middle = 0, low = 0]: readonly number[]): number =>
  (((high << 24) | (middle << 16) | (low << 8)) >> 13) * 0.0078125;

/** Registers 0x0A and 0x0B: 14 bits, two's complement, 0.015625 C each, the low two bits unused. */
export const decodeMax31856ColdJunctionC = ([high = 0, low = 0]: readonly number[]): number =>
  (((high << 24) | (low << 16)) >> 18) * 0.015625;

const statusFaults = [
  [0x01, 'open'],
  [0x02, 'over-or-under-voltage'],
  [0x40, 'thermocouple-out-of-range'],
  [0x80, 'cold-junction-out-of-range'],
] as const;

export type Max31856Fault = (typeof statusFaults)[number][1];

/** Register 0x0F. Its bits 5 to 2 are comparisons with the chip's own alarm limits, which are left unused here. */
export const decodeMax31856Faults = (status: number): readonly Max31856Fault[] =>
  statusFaults.filter(([bit]) => (status & bit) !== 0).map(([, fault]) => fault);
