import { decodeMcpChip, mcpRegister } from '../chips/mcp960x-registers.js';

/** A chip on the I2C bus, as far as it can be recognised without knowing its settings. */
export type ChipFamily = {
  readonly name: string;
  /** Everywhere its jumper can put it. */
  readonly addresses: readonly number[];
  /** A register of two bytes that can be read without changing anything. */
  readonly asked: number;
  /** Its name from the first byte of that register, where the register has it. */
  readonly nameOf: (firstByte: number) => string | undefined;
};

/** MCP9600/9601 datasheet DS20005426, table 6-1: set by the voltage at the ADDR pin. */
export const mcp960x: ChipFamily = {
  name: 'MCP960x',
  addresses: [0x60, 0x61, 0x62, 0x63, 0x64, 0x65, 0x66, 0x67],
  asked: mcpRegister.deviceId.pointer,
  nameOf: decodeMcpChip,
};

/** ADS1115 datasheet SBAS444D, 9.5.1.1. It has no identity register; its configuration is read instead. */
export const ads1115: ChipFamily = {
  name: 'ADS1115',
  addresses: [0x48, 0x49, 0x4a, 0x4b],
  asked: 0x01,
  nameOf: () => undefined,
};
