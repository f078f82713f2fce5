import {
  ADCMuxInputType,
  type AVRPortConfig,
  adcConfig,
  eepromConfig,
  portAConfig,
  portBConfig,
  portCConfig,
  portDConfig,
  portEConfig,
  portFConfig,
  portGConfig,
  portHConfig,
  portJConfig,
  portKConfig,
  portLConfig,
  timer0Config,
  timer1Config,
  timer2Config,
  twiConfig,
  usart0Config,
  watchdogConfig,
} from 'avr8js';
import { type AvrChip, pins, atmega328p as withoutBootSection } from '../../node/bench/board/avr-chip.js';

/** A chip, and what its boot section needs to know of it. */
export type BootableChip = AvrChip & {
  readonly flashBytes: number;
  readonly flashPageBytes: number;
  /** From here on the flash can be read while a page elsewhere is written; bootloaders live there. */
  readonly noReadWhileWriteFrom: number;
  readonly watchdog: typeof watchdogConfig;
};

/** The chip of the Uno and the Nano: ATmega328P data sheet DS40002061. */
export const atmega328p: BootableChip = {
  ...withoutBootSection,
  flashBytes: 0x8000,
  flashPageBytes: 128,
  noReadWhileWriteFrom: 0x7000,
  watchdog: watchdogConfig,
};

/** The emulator's port B, C and D carry the ATmega328P's pin interrupts, which are elsewhere on other chips. */
const plain = ({ PIN, DDR, PORT }: AVRPortConfig): AVRPortConfig => ({
  PIN,
  DDR,
  PORT,
  externalInterrupts: [],
});
const [portB, portC, portD] = [plain(portBConfig), plain(portCConfig), plain(portDConfig)];

/**
 * The chip of the Mega: ATmega2560 data sheet DS40002211, register summary and table 14-1 (interrupt vectors,
 * addresses in words). The registers used here are at the addresses of the ATmega328P. Timers 3 to 5 are left
 * out, as are the outputs of timers 0 to 2 to their pins. Pins from the vendor's board definition
 * (variants/mega/pins_arduino.h).
 */
export const atmega2560: BootableChip = {
  flashBytes: 0x40000,
  flashPageBytes: 256,
  noReadWhileWriteFrom: 0x3e000,
  lastDataAddress: 0x21ff,
  eepromBytes: 4096,
  timers: [
    { ...timer0Config, compAInterrupt: 0x2a, compBInterrupt: 0x2c, ovfInterrupt: 0x2e },
    {
      ...timer1Config,
      captureInterrupt: 0x20,
      compAInterrupt: 0x22,
      compBInterrupt: 0x24,
      ovfInterrupt: 0x28,
    },
    { ...timer2Config, compAInterrupt: 0x1a, compBInterrupt: 0x1c, ovfInterrupt: 0x1e },
  ].map((timer) => ({ ...timer, compPortA: 0, compPortB: 0, externalClockPort: 0 })),
  adc: {
    ...adcConfig,
    adcInterrupt: 0x3a,
    numChannels: 16,
    muxInputMask: 0x3f,
    // Table 26-4: MUX5 chooses the upper eight inputs. The differential inputs are left out.
    muxChannels: Object.fromEntries(
      Array.from({ length: 16 }, (_, channel) => [
        channel < 8 ? channel : 0x20 + channel - 8,
        { type: ADCMuxInputType.SingleEnded, channel } as const,
      ]),
    ),
  },
  usart: {
    ...usart0Config,
    rxCompleteInterrupt: 0x32,
    dataRegisterEmptyInterrupt: 0x34,
    txCompleteInterrupt: 0x36,
  },
  twi: { ...twiConfig, twiInterrupt: 0x4e },
  eeprom: { ...eepromConfig, eepromReadyInterrupt: 0x3c },
  watchdog: { ...watchdogConfig, watchdogInterrupt: 0x18 },
  digitalPins: [
    ...pins(portEConfig, 0, 1, 4, 5),
    ...pins(portGConfig, 5),
    ...pins(portEConfig, 3),
    ...pins(portHConfig, 3, 4, 5, 6),
    ...pins(portB, 4, 5, 6, 7),
    ...pins(portJConfig, 1, 0),
    ...pins(portHConfig, 1, 0),
    ...pins(portD, 3, 2, 1, 0),
    ...pins(portAConfig, 0, 1, 2, 3, 4, 5, 6, 7),
    ...pins(portC, 7, 6, 5, 4, 3, 2, 1, 0),
    ...pins(portD, 7),
    ...pins(portGConfig, 2, 1, 0),
    ...pins(portLConfig, 7, 6, 5, 4, 3, 2, 1, 0),
    ...pins(portB, 3, 2, 1, 0),
  ],
  portsOfAnalogPins: [portFConfig, portKConfig],
};
