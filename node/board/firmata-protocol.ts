/** Message numbers of the Firmata protocol, version 2 (the published protocol.md, i2c.md of the Firmata project). */
export const firmataCode = {
  digitalMessage: 0x90,
  analogMessage: 0xe0,
  startSysex: 0xf0,
  endSysex: 0xf7,
  setPinMode: 0xf4,
  reportVersion: 0xf9,
  capabilityQuery: 0x6b,
  capabilityResponse: 0x6c,
  analogMappingQuery: 0x69,
  analogMappingResponse: 0x6a,
  pinStateQuery: 0x6d,
  pinStateResponse: 0x6e,
  text: 0x71,
  i2cRequest: 0x76,
  i2cReply: 0x77,
  firmware: 0x79,
} as const;

/** Pin modes as capability and pin-state messages encode them. */
export const pinMode = { input: 0x00, output: 0x01, analog: 0x02, i2c: 0x06, pullUp: 0x0b } as const;

const { startSysex, endSysex } = firmataCode;

/** Questions the supervisor asks by itself, because firmata-io asks each of them only once. */
export const question = {
  version: [firmataCode.reportVersion],
  firmware: [startSysex, firmataCode.firmware, endSysex],
  capabilities: [startSysex, firmataCode.capabilityQuery, endSysex],
  analogMapping: [startSysex, firmataCode.analogMappingQuery, endSysex],
  pinState: (pin: number): readonly number[] => [startSysex, firmataCode.pinStateQuery, pin, endSysex],
} as const;

/** Numbers of pins that no board has (a Mega has 70), whose state is asked to learn how far the firmware has come. */
export const echoMarks = { first: 96, count: 32 } as const;

/** Ends repeated readings of one device; i2c.md of the protocol, mode bits 11. */
export const stopReading = (address: number): readonly number[] => [
  startSysex,
  firmataCode.i2cRequest,
  address & 0x7f,
  0x18,
  endSysex,
];
