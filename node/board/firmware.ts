import type { PinCapabilities } from './frames.js';

/** What the board said of its program: the protocol version, and the sketch's own name and version. */
export type Firmware = {
  readonly protocol: { readonly major: number; readonly minor: number };
  readonly name: string;
  readonly version: { readonly major: number; readonly minor: number };
};

export const firmwareLabel = ({ name, version }: Firmware): string =>
  `${name} ${version.major}.${version.minor}`;

/**
 * Says what is wrong with a firmware; undefined where nothing is. Stock StandardFirmata from protocol 2.3 on is taken; other
 * sketches speak Firmata too, but answer I2C and pull-ups in ways that are not known here.
 */
export function objectionToFirmware(firmware: Firmware): string | undefined {
  const { name, protocol } = firmware;
  const remedy = 'Put the stock firmware on it: elbowroom flash';
  if (!/^StandardFirmata/.test(name)) return `The board runs "${name}", not StandardFirmata. ${remedy}`;
  if (protocol.major !== 2 || protocol.minor < 3)
    return `The board's ${firmwareLabel(firmware)} uses Firmata ${protocol.major}.${protocol.minor}; 2.3 to 2.x is needed. ${remedy}`;
  return undefined;
}

/** What the board says its pins can do, and which of them carry an analogue channel (127: none). */
export type PinMap = {
  readonly pins: readonly PinCapabilities[];
  readonly channels: readonly number[];
};

export type Identity = { readonly firmware: Firmware; readonly pinMap: PinMap };

/** Equal for two boards of one kind, so that a board of another kind behind the same cable is noticed. */
export const pinMapFingerprint = ({ pins, channels }: PinMap): string =>
  pins.map((pin, index) => `${channels[index]}:${[...pin].join('/')}`).join(' ');
