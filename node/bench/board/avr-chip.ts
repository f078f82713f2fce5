import {
  type ADCConfig,
  type AVRPortConfig,
  type AVRTimerConfig,
  adcConfig,
  eepromConfig,
  portBConfig,
  portCConfig,
  portDConfig,
  timer0Config,
  timer1Config,
  timer2Config,
  twiConfig,
  usart0Config,
} from 'avr8js';

/** A microcontroller on a board: what the emulator must know of it, and where the board's digital pins are. */
export type AvrChip = {
  /** Last address of the data memory; the stack starts here. */
  readonly lastDataAddress: number;
  readonly eepromBytes: number;
  readonly timers: readonly AVRTimerConfig[];
  readonly adc: ADCConfig;
  readonly usart: typeof usart0Config;
  readonly twi: typeof twiConfig;
  readonly eeprom: typeof eepromConfig;
  /** D0, D1 and so on, in the order of the board's print. */
  readonly digitalPins: readonly { readonly port: AVRPortConfig; readonly bit: number }[];
  readonly portsOfAnalogPins: readonly AVRPortConfig[];
};

export const pins = (port: AVRPortConfig, ...bits: number[]) => bits.map((bit) => ({ port, bit }));

/** The chip of the Uno and the Nano: ATmega328P data sheet DS40002061; the pins as the Uno's print has them. */
export const atmega328p: AvrChip = {
  lastDataAddress: 0x08ff,
  eepromBytes: 1024,
  timers: [timer0Config, timer1Config, timer2Config],
  adc: adcConfig,
  usart: usart0Config,
  twi: twiConfig,
  eeprom: eepromConfig,
  digitalPins: [...pins(portDConfig, 0, 1, 2, 3, 4, 5, 6, 7), ...pins(portBConfig, 0, 1, 2, 3, 4, 5)],
  portsOfAnalogPins: [portCConfig],
};
