/**
 * MCP9600 and MCP9601, thermocouple amplifiers with their own cold junction.
 * Register numbers and layouts: Microchip DS20005426G (2021), registers 5-1 to 5-13.
 */
export const mcpRegister = {
  hotJunction: { pointer: 0x00, bytes: 2 },
  coldJunction: { pointer: 0x02, bytes: 2 },
  rawAdc: { pointer: 0x03, bytes: 3 },
  status: { pointer: 0x04, bytes: 1 },
  sensorConfig: { pointer: 0x05, bytes: 1 },
  deviceConfig: { pointer: 0x06, bytes: 1 },
  deviceId: { pointer: 0x20, bytes: 2 },
} as const;

export type McpRegister = (typeof mcpRegister)[keyof typeof mcpRegister];

/** Device ids, upper byte of register 0x20. */
const chipById: ReadonlyMap<number, 'MCP9600' | 'MCP9601'> = new Map([
  [0x40, 'MCP9600'],
  [0x41, 'MCP9601'],
]);

export type McpChip = 'MCP9600' | 'MCP9601';

export const decodeMcpChip = (idByte: number): McpChip | undefined => chipById.get(idByte);

/** Bits 6 to 4 of the sensor configuration. */
const typeBits = { K: 0, J: 1, T: 2, N: 3, S: 4, E: 5, B: 6, R: 7 } as const;
export type McpThermocouple = keyof typeof typeBits;

/** Without the filter in bits 2 to 0, which smooths the chip's own hot junction only. */
export const encodeSensorConfig = (thermocouple: McpThermocouple): number => typeBits[thermocouple] << 4;

/** Cold junction to 0.0625 C, converter at 18 bits (2 microvolts, 320 ms), continuous: all bits 0. */
export const steadyFullResolution = 0x00;

const celsiusPerCode = 0.0625;
const microvoltsPerCode = 2;

/** Two bytes, two's complement, 0.0625 C each. */
export const decodeMcpTemperatureC = ([high = 0, low = 0]: readonly number[]): number =>
  (((high << 24) >> 16) | low) * celsiusPerCode;

/**
 * The thermocouple's own voltage at 18 bits, in microvolts: -262144 to 262142. Undefined where the upper
 * seven bits are not all the sign, which no converter gives and a damaged transfer does.
 */
export function decodeMcpEmfMicrovolts([high = 0, middle = 0, low = 0]: readonly number[]):
  | number
  | undefined {
  const code = ((high << 24) >> 8) | (middle << 8) | low;
  return code >= -131_072 && code <= 131_071 ? code * microvoltsPerCode : undefined;
}

export type McpStatus = {
  /** A conversion has finished since this flag was last cleared. */
  readonly updated: boolean;
  /**
   * Bit 4: the input is beyond its range, which on an MCP9600 is all that can be seen of an open
   * thermocouple. While it is set the hot junction keeps its last value.
   */
  readonly openOrOutOfRange: boolean;
  /** Bit 5, MCP9601 only: thermocouple shorted to the supply or to ground. */
  readonly shorted: boolean;
};

export const decodeMcpStatus = (status: number, chip: McpChip): McpStatus => ({
  updated: (status & 0x40) !== 0,
  openOrOutOfRange: (status & 0x10) !== 0,
  shorted: chip === 'MCP9601' && (status & 0x20) !== 0,
});

/** Written to the status register this clears the two "finished" flags; the fault bits are the chip's own. */
export const clearFinished = (status: number): number => status & 0x3f;
