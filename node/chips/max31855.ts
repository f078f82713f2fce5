/**
 * MAX31855, thermocouple amplifier with one 32-bit frame over SPI, most significant bit first.
 * Maxim 19-5793 rev 5 (2015), tables 1 to 5. The stock firmware has no SPI: the decoder waits for a board that has.
 */
export type Max31855Frame =
  | { readonly kind: 'temperatures'; readonly thermocoupleC: number; readonly coldJunctionC: number }
  | {
      readonly kind: 'fault';
      readonly fault: 'open' | 'short-to-ground' | 'short-to-supply' | 'damaged-frame';
      readonly coldJunctionC: number;
    };

/**
 * Bits 31 to 18: thermocouple, 0.25 C; 15 to 4: cold junction, 0.0625 C; 16 and 2 to 0: faults; 17 and 3 always 0.
 * The temperature is the chip's own linear one (41.276 microvolts per C for type K), not yet the reference function's.
 */
export function decodeMax31855(frame: number): Max31855Frame {
  const coldJunctionC = ((frame << 16) >> 20) * 0.0625;
  const fault = faultOf(frame);
  if (fault !== undefined) return { kind: 'fault', fault, coldJunctionC };
  return { kind: 'temperatures', thermocoupleC: (frame >> 18) * 0.25, coldJunctionC };
}

function faultOf(frame: number): Extract<Max31855Frame, { kind: 'fault' }>['fault'] | undefined {
  if ((frame & 0x0002_0008) !== 0) return 'damaged-frame';
  const summary = (frame & 0x0001_0000) !== 0;
  const causes = frame & 0x07;
  if (summary !== causes > 0) return 'damaged-frame';
  if ((causes & 0x01) !== 0) return 'open';
  if ((causes & 0x02) !== 0) return 'short-to-ground';
  return causes === 0 ? undefined : 'short-to-supply';
}
