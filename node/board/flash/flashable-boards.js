const atmega328p = {
    name: 'ATmega328P',
    signature: [0x1e, 0x95, 0x0f],
    pageBytes: 128,
    bootloaderFrom: 0x7800,
};
const atmega2560 = {
    name: 'ATmega2560',
    signature: [0x1e, 0x98, 0x01],
    pageBytes: 256,
    bootloaderFrom: 0x3e000,
};
const speakV1 = async (stream) => (await import('./stk500-v1.js')).stk500V1(stream);
const speakV2 = async (stream) => (await import('./stk500-v2.js')).stk500V2(stream);
/** The boards whose bootloader we know, and the speed it speaks at (the vendor's board list). */
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
};
//# sourceMappingURL=flashable-boards.js.map