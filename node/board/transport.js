import { EventEmitter } from 'node:events';
/**
 * What firmata-io takes for its serial port, for life. Ports come and go beneath it; a new Firmata for each
 * would leak listeners and timers.
 */
export class StableTransport extends EventEmitter {
    #port;
    #unsent = [];
    attach(port) {
        this.#port = port;
        this.emit('open');
    }
    detach() {
        this.#port = undefined;
        this.#unsent = [];
    }
    /**
     * Orders of one turn leave together: most of what a write costs is the call, not the bytes. While no port is
     * attached the bytes are forgotten: everything is sent again after the next handshake.
     */
    write(bytes, done) {
        if (this.#port !== undefined) {
            if (this.#unsent.length === 0)
                queueMicrotask(() => this.#send());
            this.#unsent.push(bytes);
        }
        done?.();
    }
    deliver(bytes) {
        this.emit('data', bytes);
    }
    #send() {
        const together = this.#unsent;
        this.#unsent = [];
        const [only] = together;
        if (only === undefined)
            return;
        this.#port?.write(together.length === 1 ? only : Buffer.concat(together));
    }
}
//# sourceMappingURL=transport.js.map