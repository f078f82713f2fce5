export const firmwareLabel = ({ name, version }) => `${name} ${version.major}.${version.minor}`;
/**
 * Says what is wrong with a firmware, or nothing. Stock StandardFirmata from protocol 2.3 on is taken; other
 * sketches speak Firmata too, but answer I2C and pull-ups in ways nobody here has seen.
 */
export function objectionToFirmware(firmware) {
    const { name, protocol } = firmware;
    const remedy = 'Put the stock firmware on it: elbowroom flash';
    if (!/^StandardFirmata/.test(name))
        return `The board runs "${name}", not StandardFirmata. ${remedy}`;
    if (protocol.major !== 2 || protocol.minor < 3)
        return `The board's ${firmwareLabel(firmware)} speaks Firmata ${protocol.major}.${protocol.minor}; 2.3 to 2.x is needed. ${remedy}`;
    return undefined;
}
/** Equal for two boards of one kind, so that a board of another kind behind the same cable is noticed. */
export const pinMapFingerprint = ({ pins, channels }) => pins.map((pin, index) => `${channels[index]}:${[...pin].join('/')}`).join(' ');
//# sourceMappingURL=firmware.js.map