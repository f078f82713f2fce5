import { createServer } from 'node:net';
/** What a computer that stopped reading may leave unread before bytes are lost, as in a serial driver. */
const mostUnreadBytes = 65_536;
/** The board's serial line as raw bytes over TCP on loopback, one client at a time. */
export class TcpPort {
    #line;
    #onOpen;
    #wantedPort;
    #server;
    #client;
    #port = 0;
    /** `onOpen` is called when a client connects, before any byte passes: a real adapter pulls reset then. */
    constructor(line, wantedPort, onOpen) {
        this.#line = line;
        this.#wantedPort = wantedPort;
        this.#onOpen = onOpen;
    }
    /** The port in use; 0 before the first `plug`. Stays the same over unplugging. */
    get port() {
        return this.#port;
    }
    get pluggedIn() {
        return this.#server !== undefined;
    }
    get clientConnected() {
        return this.#client !== undefined;
    }
    /** Starts listening. Rejects with the system's error (EADDRINUSE) when the port is taken. */
    async plug() {
        if (this.#server)
            return;
        const server = createServer((socket) => this.#accept(socket));
        await new Promise((resolve, reject) => {
            server.once('error', reject);
            server.listen(this.#port || this.#wantedPort, '127.0.0.1', resolve);
        });
        const address = server.address();
        if (address && typeof address === 'object')
            this.#port = address.port;
        this.#server = server;
    }
    /** Cuts the client off and refuses new ones until `plug`. */
    async unplug() {
        const server = this.#server;
        this.#server = undefined;
        this.#client?.destroy();
        this.#client = undefined;
        this.#line.close();
        if (server)
            await new Promise((resolve) => server.close(() => resolve()));
    }
    #accept(socket) {
        if (this.#client) {
            socket.destroy();
            return;
        }
        this.#client = socket;
        socket.setNoDelay(true);
        this.#onOpen();
        this.#line.open((bytes) => {
            if (socket.writableLength < mostUnreadBytes)
                socket.write(bytes);
        });
        socket.on('data', (bytes) => this.#line.fromComputer(bytes));
        socket.on('error', () => socket.destroy());
        socket.on('close', () => {
            if (this.#client !== socket)
                return;
            this.#client = undefined;
            this.#line.close();
        });
    }
}
//# sourceMappingURL=tcp-port.js.map