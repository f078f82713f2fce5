import { makeRandom } from '../plant/random.js';
/** Longest run of bytes handed over at once; more than a slice of emulated time can produce at 57,600 baud. */
const mostHeldBytes = 8192;
/** The serial cable between board and computer. Bytes for nobody are lost, as on a port that nobody opened. */
export class SerialLine {
    #toBoard;
    #listener;
    #held = [];
    /** Chance that a byte, either way, arrives with one bit flipped. */
    bitErrorsPerByte = 0;
    #chance = makeRandom(1);
    constructor(toBoard) {
        this.#toBoard = toBoard;
    }
    /** Opens the computer's end; one listener at a time, and the last one to open has it. */
    open(listener) {
        this.#held = [];
        this.#listener = listener;
    }
    close() {
        this.#listener = undefined;
        this.#held = [];
    }
    fromComputer(bytes) {
        this.#toBoard(bytes.map((byte) => this.#damaged(byte)));
    }
    fromBoard(byte) {
        if (this.#listener && this.#held.length < mostHeldBytes)
            this.#held.push(this.#damaged(byte));
    }
    /** Hands over what the board has sent since the last time. */
    flush() {
        if (this.#held.length === 0)
            return;
        const bytes = Uint8Array.from(this.#held);
        this.#held = [];
        this.#listener?.(bytes);
    }
    #damaged(byte) {
        if (this.bitErrorsPerByte === 0 || !this.#chance.chance(this.bitErrorsPerByte))
            return byte;
        return byte ^ (1 << Math.floor(this.#chance.between(0, 8)));
    }
}
//# sourceMappingURL=serial-line.js.map