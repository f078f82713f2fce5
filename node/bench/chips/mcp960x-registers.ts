/** Register pointers, Microchip DS20005426G. */
export const register = {
  hotJunction: 0x00,
  difference: 0x01,
  coldJunction: 0x02,
  rawAdc: 0x03,
  status: 0x04,
  sensorConfig: 0x05,
  deviceConfig: 0x06,
  deviceId: 0x20,
} as const;

/** Pointer, bytes, and whether the board may write; the registers of the four alert outputs only keep what they are given. */
const layout: readonly (readonly [pointer: number, bytes: number, writable: boolean])[] = [
  [register.hotJunction, 2, false],
  [register.difference, 2, false],
  [register.coldJunction, 2, false],
  [register.rawAdc, 3, false],
  [register.status, 1, true],
  [register.sensorConfig, 1, true],
  [register.deviceConfig, 1, true],
  ...[0x08, 0x09, 0x0a, 0x0b, 0x0c, 0x0d, 0x0e, 0x0f].map((pointer) => [pointer, 1, true] as const),
  ...[0x10, 0x11, 0x12, 0x13].map((pointer) => [pointer, 2, true] as const),
  [register.deviceId, 2, false],
];

const cPerCode = 0.0625;
/** Initial revision. */
const revision = 0x10;

/** The register file as the bus sees it: a pointer, reads that run on into the next register, writes that do not. */
export class McpRegisters {
  readonly #bytes = new Map<number, Uint8Array>(
    layout.map(([pointer, bytes]) => [pointer, new Uint8Array(bytes)]),
  );
  #pointer = 0;
  #offset = 0;
  #pointerComes = false;
  lastByte = 0xff;

  constructor() {
    this.setDeviceId(0x41);
  }

  /** 0x40 is an MCP9600, 0x41 an MCP9601. */
  setDeviceId(id: number): void {
    this.#of(register.deviceId).set([id, revision]);
  }

  get status(): number {
    return this.#of(register.status)[0] ?? 0;
  }
  set status(value: number) {
    this.#of(register.status)[0] = value;
  }
  get sensorConfig(): number {
    return this.#of(register.sensorConfig)[0] ?? 0;
  }
  get deviceConfig(): number {
    return this.#of(register.deviceConfig)[0] ?? 0;
  }

  temperature(pointer: number): number {
    const bytes = this.#of(pointer);
    return new DataView(bytes.buffer).getInt16(0) * cPerCode;
  }

  setTemperature(pointer: number, celsius: number): void {
    new DataView(this.#of(pointer).buffer).setInt16(0, Math.round(celsius / cPerCode));
  }

  /** An 18-bit code, sign-extended to the register's 24 bits; clipped at the ends of the input range. */
  setRawCode(code: number): void {
    const clipped = Math.min(Math.max(code, -131_072), 131_071);
    this.#of(register.rawAdc).set([(clipped >> 16) & 0xff, (clipped >> 8) & 0xff, clipped & 0xff]);
  }

  begin(write: boolean): boolean {
    this.#pointerComes = write;
    if (!write) this.#offset = 0;
    return true;
  }

  write(byte: number): boolean {
    if (this.#pointerComes) {
      this.#pointerComes = false;
      this.#pointer = byte;
      this.#offset = 0;
      return this.#bytes.has(byte);
    }
    const bytes = this.#bytes.get(this.#pointer);
    const writable = layout.some(([pointer, , allowed]) => pointer === this.#pointer && allowed);
    if (!bytes || !writable || this.#offset >= bytes.length) return false;
    bytes[this.#offset++] = byte;
    return true;
  }

  read(): number {
    const bytes = this.#bytes.get(this.#pointer);
    this.lastByte = bytes?.[this.#offset++] ?? 0xff;
    if (bytes && this.#offset >= bytes.length) {
      const next = layout.findIndex(([pointer]) => pointer === this.#pointer) + 1;
      this.#pointer = layout[next % layout.length]?.[0] ?? 0;
      this.#offset = 0;
    }
    return this.lastByte;
  }

  #of(pointer: number): Uint8Array {
    const bytes = this.#bytes.get(pointer);
    if (!bytes) throw new RangeError(`no register at pointer ${pointer}`);
    return bytes;
  }
}
