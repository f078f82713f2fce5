import { EventEmitter } from 'node:events';
const mostHeardBytes = 8;
/** A byte port as the bootloader libraries want it: a stream that calls back, and says `data` and `close`. */
export class PortStream extends EventEmitter {
    isOpen = true;
    #port;
    #heard = [];
    #why = '';
    constructor(port) {
        super();
        this.#port = port;
        port.onBytes((bytes) => {
            this.#heard.push(...bytes.subarray(0, mostHeardBytes - this.#heard.length));
            this.emit('data', Buffer.from(bytes));
        });
        port.onClosed((why) => {
            this.isOpen = false;
            this.#why = why;
            this.emit('close');
        });
    }
    /** What came back since the last write, for people. */
    get heard() {
        if (!this.isOpen)
            return `the line closed: ${this.#why}`;
        return this.#heard.length === 0 ? 'it says nothing' : `it says ${hex(this.#heard)}`;
    }
    write(bytes, done) {
        this.#heard = [];
        if (this.isOpen)
            this.#port.write(bytes);
        done?.(this.isOpen ? undefined : new Error(this.heard));
    }
    drain(done) {
        done();
    }
    /** One question to a library. Rejects with what was heard instead of the answer, at once when the line closes. */
    ask(question) {
        return new Promise((resolve, reject) => {
            const fail = (cause) => reject(new Error(this.heard, { cause }));
            this.once('close', fail);
            question((error, answer) => {
                this.off('close', fail);
                if (error)
                    fail(error);
                else
                    resolve(answer);
            });
        });
    }
}
export const hex = (bytes) => Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join(' ');
//# sourceMappingURL=port-stream.js.map