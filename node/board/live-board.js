import firmataIo, {} from 'firmata-io';
import five, {} from 'johnny-five';
import { question, stopReading } from './firmata-protocol.js';
import { FrameGate } from './frame-gate.js';
import { I2cQueue } from './i2c-queue.js';
import { PinAudit } from './pin-audit.js';
import { Pins } from './pins.js';
import { Supervisor } from './supervisor.js';
import { StableTransport } from './transport.js';
/** The longest timer there is: the handshake here keeps its own time, and says more when it runs out. */
const neverMs = 2 ** 31 - 1;
/** A damaged message or two may look unasked; more mean that the firmware was told something wrong. */
const mostUnasked = 5;
/**
 * One johnny-five Board and one Firmata for life, over a transport that changes ports beneath them. Bytes
 * pass the gate before the library sees them; orders pass from the pins and the I2C queue to the library.
 */
export class LiveBoard {
    #transport = new StableTransport();
    #io;
    #pins;
    #i2c;
    #gate;
    #audit;
    #supervisor;
    #samplingMs;
    #statusListeners = [];
    #refusedBy = {};
    #unasked = 0;
    #setUpIsDue = false;
    #admitted = 0;
    constructor(opener, clock, samplingMs) {
        this.#samplingMs = samplingMs;
        this.#io = new firmataIo.Firmata(this.#transport, { reportVersionTimeout: neverMs });
        clearTimeout(this.#io.reportVersionTimeoutId);
        this.#pins = new Pins(makeBoard(this.#io), this.#io, (bytes) => this.#send(bytes));
        this.#i2c = new I2cQueue(wireOver(this.#io, (bytes) => this.#send(bytes)), clock);
        this.#audit = new PinAudit({
            ordered: () => this.#pins.ordered,
            ask: (bytes) => this.#send(bytes),
            setUpAgain: () => this.#supervisor.setUpAgain(),
        });
        this.#supervisor = new Supervisor(opener, this.#asSupervised(), clock);
        this.#gate = new FrameGate(this.#expected(), (frame) => this.#admit(frame), (why, frame) => this.#refuse(why, frame));
    }
    analogInput(pin) {
        const input = this.#pins.analogInput(pin);
        this.#setUpSoon();
        return input;
    }
    digitalOutput(pin) {
        const output = this.#pins.digitalOutput(pin);
        this.#setUpSoon();
        return output;
    }
    digitalInput(pin, { pullUp }) {
        const input = this.#pins.digitalInput(pin, pullUp);
        this.#setUpSoon();
        return input;
    }
    get i2c() {
        return this.#i2c;
    }
    status() {
        const status = this.#supervisor.status;
        const { complaints } = this.#pins;
        if (status.state !== 'connected' || complaints.length === 0)
            return status;
        return { ...status, detail: [status.detail, ...complaints].join(' ') };
    }
    onStatus(listener) {
        this.#statusListeners.push(listener);
    }
    counters() {
        return {
            connects: this.#supervisor.connects,
            resets: this.#supervisor.resets,
            framesAdmitted: this.#admitted,
            framesEarly: this.#gate.early,
            refused: Object.values(this.#refusedBy).reduce((sum, count) => sum + count, 0),
            refusedBy: { ...this.#refusedBy },
            i2cUnanswered: this.#i2c.unanswered,
            i2cRepeated: this.#i2c.repeated,
            pinsMended: this.#audit.mended,
        };
    }
    async close() {
        this.#audit.stop();
        await this.#supervisor.close();
    }
    #asSupervised() {
        return {
            attach: (port) => this.#attach(port),
            detach: () => this.#detach(),
            takeBytes: (bytes) => this.#gate.take(bytes),
            ask: (bytes) => this.#send(bytes),
            setUp: (identity) => this.#setUp(identity),
            awaitsScans: () => this.#pins.analogChannels.length > 0,
            onStatus: () => {
                for (const listener of this.#statusListeners)
                    listener(this.status());
            },
        };
    }
    #expected() {
        return {
            isMeasuring: () => this.#supervisor.isRunning,
            analogChannels: () => this.#pins.analogChannels,
            inputBits: (port) => this.#pins.inputBits(port),
            i2cRead: () => this.#i2c.inFlight,
            pinState: () => this.#audit.askedPin,
        };
    }
    #attach(port) {
        this.#gate.reset();
        if (!this.#io.isReady) {
            // The library never heard this board out; what it learnt may be of another one.
            this.#io.pins.length = 0;
            this.#io.analogPins.length = 0;
        }
        this.#transport.attach(port);
    }
    #detach() {
        this.#transport.detach();
        this.#pins.setAway();
        this.#i2c.setConnected(false);
        this.#audit.setRunning(false);
    }
    #setUp(identity) {
        this.#unasked = 0;
        this.#gate.reset();
        this.#pins.setUp(identity, this.#samplingMs);
        this.#i2c.setConnected(true);
        this.#audit.setRunning(true);
    }
    /** A pin was declared while the board was there: once more, for all that are declared in this turn. */
    #setUpSoon() {
        if (this.#setUpIsDue || !this.#supervisor.isRunning)
            return;
        this.#setUpIsDue = true;
        queueMicrotask(() => {
            this.#setUpIsDue = false;
            this.#supervisor.setUpAgain();
        });
    }
    #send(bytes) {
        this.#transport.write(Uint8Array.from(bytes));
    }
    #admit(frame) {
        this.#admitted += 1;
        if (frame.kind === 'pin-state')
            this.#audit.take(frame);
        else if (frame.kind === 'echo')
            this.#i2c.echoCame(frame.mark);
        else if (frame.kind === 'i2c-reply')
            this.#i2c.replyCame();
        else if (frame.kind === 'text' && /i2c/i.test(frame.text))
            this.#i2c.firmwareComplained(frame.text);
        if (this.#isForLibrary(frame))
            this.#deliver(frame);
        this.#supervisor.takeFrame(frame);
    }
    /** The library appends a second pin mapping to the first, and takes the state of a pin for an order. */
    #isForLibrary({ kind }) {
        if (kind === 'capabilities' || kind === 'analog-mapping')
            return !this.#io.isReady;
        return kind !== 'pin-state' && kind !== 'echo';
    }
    #deliver(frame) {
        try {
            this.#transport.deliver(frame.bytes);
        }
        catch {
            this.#refuse('library-threw');
        }
    }
    #refuse(why, frame) {
        this.#refusedBy[why] = (this.#refusedBy[why] ?? 0) + 1;
        this.#i2c.linkDamaged();
        if (why !== 'unasked')
            return;
        // A damaged order can switch on reports or repeated readings that nobody wants; they would go on for ever.
        if (frame?.kind === 'i2c-reply')
            this.#send(stopReading(frame.address));
        this.#unasked += 1;
        if (this.#unasked > mostUnasked)
            this.#setUpSoon();
    }
}
function makeBoard(io) {
    const board = new five.Board({ io, repl: false, debug: false, sigint: false, timeout: neverMs });
    board.on('connect', () => clearTimeout(board.timer));
    return board;
}
function wireOver(io, send) {
    return {
        startRead(address, register, byteCount, onReply) {
            io.i2cReadOnce(address, register, byteCount, onReply);
            return { stop: () => io.removeListener(`I2C-reply-${address}-${register}`, onReply) };
        },
        write: (address, bytes) => io.i2cWrite(address, bytes),
        echo: (mark) => send(question.pinState(mark)),
    };
}
//# sourceMappingURL=live-board.js.map