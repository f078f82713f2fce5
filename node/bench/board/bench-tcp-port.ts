import { createServer, type Server, type Socket } from 'node:net';
import type { BoardPort } from './board-port.js';
import type { SerialLine } from './serial-line.js';

/** What a computer that stopped reading may leave unread before bytes are lost, as in a serial driver. */
const mostUnreadBytes = 65_536;

/** The board's serial line as raw bytes over TCP on loopback, one client at a time. */
export class TcpPort implements BoardPort {
  readonly #line: SerialLine;
  readonly #onOpen: () => void;
  readonly #wantedPort: number;
  #server: Server | undefined;
  #client: Socket | undefined;
  #port = 0;

  /** `onOpen` is called when a client connects, before any byte passes: a real adapter pulls reset then. */
  constructor(line: SerialLine, wantedPort: number, onOpen: () => void) {
    this.#line = line;
    this.#wantedPort = wantedPort;
    this.#onOpen = onOpen;
  }

  /** The port in use; 0 before the first `plug`. Stays the same over unplugging. */
  get port(): number {
    return this.#port;
  }

  get pluggedIn(): boolean {
    return this.#server !== undefined;
  }

  get clientConnected(): boolean {
    return this.#client !== undefined;
  }

  /** Starts listening. Rejects with the system's error (EADDRINUSE) when the port is taken. */
  async plug(): Promise<void> {
    if (this.#server) return;
    const server = createServer((socket) => this.#accept(socket));
    await new Promise<void>((resolve, reject) => {
      server.once('error', reject);
      server.listen(this.#port || this.#wantedPort, '127.0.0.1', resolve);
    });
    const address = server.address();
    if (address && typeof address === 'object') this.#port = address.port;
    this.#server = server;
  }

  /** Cuts the client off and refuses new ones until `plug`. */
  async unplug(): Promise<void> {
    const server = this.#server;
    this.#server = undefined;
    this.#client?.destroy();
    this.#client = undefined;
    this.#line.close();
    if (server) await new Promise<void>((resolve) => server.close(() => resolve()));
  }

  #accept(socket: Socket): void {
    if (this.#client) {
      socket.destroy();
      return;
    }
    this.#client = socket;
    socket.setNoDelay(true);
    this.#onOpen();
    this.#line.open((bytes) => {
      if (socket.writableLength < mostUnreadBytes) socket.write(bytes);
    });
    socket.on('data', (bytes) => this.#line.fromComputer(bytes));
    socket.on('error', () => socket.destroy());
    socket.on('close', () => {
      if (this.#client !== socket) return;
      this.#client = undefined;
      this.#line.close();
    });
  }
}
