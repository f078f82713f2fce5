import { connect } from 'node:net';
import { mostBytesWaiting } from './byte-port.js';
const connectWithinMs = 3000;
/** Opens a board behind a socket: the bench, a networked board, or a serial port shared by ser2net. */
export function tcpOpener(host, port) {
    const label = `tcp://${host}:${port}`;
    return {
        label,
        open: () => new Promise((resolve, reject) => {
            const socket = connect({ host, port, noDelay: true });
            const giveUp = setTimeout(() => socket.destroy(new Error('no connection within 3 s')), connectWithinMs);
            socket.once('connect', () => {
                clearTimeout(giveUp);
                resolve(new TcpPort(label, socket));
            });
            socket.once('error', (cause) => {
                clearTimeout(giveUp);
                reject(new Error(`Nothing answers at ${label} (${cause.message}).`, { cause }));
            });
        }),
    };
}
class TcpPort {
    label;
    #socket;
    #why = 'the other end closed the connection';
    constructor(label, socket) {
        this.label = label;
        this.#socket = socket;
        socket.on('error', (error) => {
            this.#why = error.message;
        });
    }
    write(bytes) {
        this.#socket.write(bytes);
        if (this.#socket.writableLength > mostBytesWaiting)
            this.#socket.destroy(new Error('it takes no bytes'));
    }
    onBytes(listener) {
        this.#socket.on('data', listener);
    }
    onClosed(listener) {
        this.#socket.once('close', () => listener(this.#why));
    }
    close() {
        return new Promise((resolve) => {
            if (this.#socket.closed)
                resolve();
            else
                this.#socket.once('close', () => resolve());
            this.#socket.destroy();
        });
    }
}
//# sourceMappingURL=tcp-port.js.map