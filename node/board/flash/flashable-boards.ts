import type { Bootloader } from './bootloader.js';
import type { PortStream } from './port-stream.js';

type Chip = {
  readonly name: string;
  /** What the chip names itself with; data sheets, section "Signature bytes". */
  readonly signature: readonly [number, number, number];
  readonly pageBytes: number;
  /** Above this lies the largest bootloader in use; an image that reaches it would overwrite the way back. */
  readonly bootloaderFrom: number;
};

const atmega328p: Chip = {
  name: 'ATmega328P',
  signature: [0x1e, 0x95, 0x0f],
  pageBytes: 128,
  bootloaderFrom: 0x7800,
};
const atmega2560: Chip = {
  name: 'ATmega2560',
  signature: [0x1e, 0x98, 0x01],
  pageBytes: 256,
  bootloaderFrom: 0x3e000,
};

const speakV1 = async (stream: PortStream): Promise<Bootloader> =>
  (await import('./stk500-v1.js')).stk500V1(stream);
const speakV2 = async (stream: PortStream): Promise<Bootloader> =>
  (await import('./stk500-v2.js')).stk500V2(stream);

/** The boards whose bootloader we know, and its baud rate (the vendor's board list). */
export const flashableBoards = {
  uno: {
    name: 'Arduino Uno, or a Nano with the new bootloader',
    chip: atmega328p,
    baud: 115_200,
    speak: speakV1,
  },
  'nano-old': {
    name: 'Arduino Nano with the old bootloader',
    chip: atmega328p,
    baud: 57_600,
    speak: speakV1,
  },
  mega: { name: 'Arduino Mega 2560', chip: atmega2560, baud: 115_200, speak: speakV2 },
} as const;

export type FlashableBoard = keyof typeof flashableBoards;
