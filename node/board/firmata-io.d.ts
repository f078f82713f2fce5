/** The part of firmata-io 2.3.0 that this folder uses; the package ships no types of its own. */
declare module 'firmata-io' {
  import type { EventEmitter } from 'node:events';

  export interface FirmataTransport extends EventEmitter {
    write(bytes: Uint8Array, done?: () => void): void;
  }

  export interface FirmataPin {
    readonly supportedModes: readonly number[];
    readonly analogChannel: number;
    mode: number | undefined;
    value: number;
  }

  export class Firmata extends EventEmitter {
    constructor(transport: FirmataTransport, options: { reportVersionTimeout: number });
    readonly isReady: boolean;
    readonly MODES: Readonly<Record<'INPUT' | 'OUTPUT' | 'ANALOG' | 'I2C' | 'PULLUP', number>>;
    readonly pins: FirmataPin[];
    readonly ports: number[];
    readonly analogPins: number[];
    /** Its own reminder timer, cleared here when the board is closed before it ever answered. */
    readonly reportVersionTimeoutId: NodeJS.Timeout;
    pinMode(pin: number, mode: number): void;
    reportAnalogPin(channel: number, value: 0 | 1): void;
    reportDigitalPin(pin: number, value: 0 | 1): void;
    i2cReadOnce(
      address: number,
      register: number,
      byteCount: number,
      callback: (bytes: number[]) => void,
    ): void;
    i2cWrite(address: number, bytes: readonly number[]): void;
  }

  const bindTransport: { readonly Firmata: typeof Firmata };
  export default bindTransport;
}
