import { createServer, type Server, type Socket } from 'node:net';
import type { Duplex } from 'node:stream';
import type { AlertCommand } from '../alerts/alert.js';
import { NodeError } from '../errors/node-error.js';
import { encodeFrame } from './frame.js';
import { FrameRing } from './frame-ring.js';
import { type CommandAnswer, Listener, type ListenerSide } from './listener.js';
import type { FromNode, NodeMessage } from './messages.js';

export type LinkOptions = {
  readonly node: string;
  readonly boot: string;
  readonly ringBytes?: number;
  /** The sum of the wall clock's steps since the boot; travels with every message once it is not 0. */
  readonly clockSteppedMs?: () => number;
  readonly onCommand: (command: AlertCommand) => Promise<CommandAnswer>;
  readonly onTestSound: (forS: number) => CommandAnswer;
  /** A listener has come: the node numbers a fresh hello, alerts and status, so that it knows what it looks at. */
  readonly onListener: () => void;
};

/** On a serial wire nobody says that a host has come or gone; these spans stand in for it. */
const greetEveryMs = 2_000;
const deafAfterGreetings = 8;
const mostListeners = 8;

/** The node's side of the link: one ring, any number of listeners, and a node that never waits for them. */
export class LinkServer {
  damaged = 0;
  private readonly ring: FrameRing;
  private readonly listeners = new Set<Listener>();
  private readonly side: ListenerSide;
  private readonly options: LinkOptions;
  private readonly closers: (() => Promise<void>)[] = [];

  constructor(options: LinkOptions) {
    this.options = options;
    this.ring = new FrameRing(options.ringBytes);
    this.side = {
      node: options.node,
      boot: options.boot,
      ring: this.ring,
      onCommand: options.onCommand,
      onTestSound: options.onTestSound,
      onDamaged: () => {
        this.damaged++;
      },
    };
  }

  get framesLost(): number {
    return this.ring.lost;
  }

  get listening(): number {
    return [...this.listeners].filter((listener) => listener.heard).length;
  }

  publish(message: NodeMessage): void {
    const { node, boot } = this.options;
    const clockSteppedMs = this.options.clockSteppedMs?.() ?? 0;
    const stepped = clockSteppedMs === 0 ? {} : { clockSteppedMs };
    this.ring.push((seq) =>
      encodeFrame({ type: 'message', node, boot, seq, ...stepped, message } satisfies FromNode),
    );
    for (const listener of this.listeners) listener.sendMore();
  }

  /** Listens on `host:port`; port 0 takes a free one. Gives the port taken. */
  async listen(address: string): Promise<number> {
    const { host, port } = parseListenAddress(address);
    const sockets = new Set<Socket>();
    const server = createServer((socket) => {
      socket.on('error', () => socket.destroy());
      if (sockets.size >= mostListeners) return void socket.destroy();
      socket.setNoDelay(true);
      // A host that lost its power never says goodbye; without this its place would be kept for ever.
      socket.setKeepAlive(true, 10_000);
      sockets.add(socket);
      const listener = this.attach(socket, { sendUnheard: true });
      socket.on('close', () => {
        sockets.delete(socket);
        this.listeners.delete(listener);
      });
    });
    await bound(server, host, port, address);
    this.closers.push(
      () =>
        new Promise((done) => {
          server.close(() => done());
          for (const socket of sockets) socket.destroy();
        }),
    );
    const bind = server.address();
    return typeof bind === 'object' && bind ? bind.port : port;
  }

  /** Serves one wire on which a host may come and go unseen, such as a serial port. */
  serveWire(wire: Duplex): void {
    const listener = this.attach(wire, { sendUnheard: false });
    let silentGreetings = 0;
    wire.on('data', () => {
      silentGreetings = 0;
    });
    const timer = setInterval(() => {
      if (listener.heard && ++silentGreetings >= deafAfterGreetings) listener.rewind();
      if (!listener.heard) listener.greet();
    }, greetEveryMs);
    const gone = () => {
      clearInterval(timer);
      this.listeners.delete(listener);
    };
    wire.once('close', gone);
    this.closers.push(async () => {
      gone();
      wire.destroy();
    });
  }

  async close(): Promise<void> {
    await Promise.all(this.closers.splice(0).map((close) => close()));
    this.listeners.clear();
  }

  private attach(wire: Duplex, how: { readonly sendUnheard: boolean }): Listener {
    const listener = new Listener(wire, this.side, how);
    this.listeners.add(listener);
    this.options.onListener();
    return listener;
  }
}

/** `host:port` in its parts; `[::1]:8472` for IPv6. */
export const parseListenAddress = (address: string): { host: string; port: number } => {
  const parts = /^(?:\[([0-9a-f:]+)\]|([^:\s]+)):(\d{1,5})$/i.exec(address);
  const port = Number(parts?.[3]);
  if (!parts || port > 65_535)
    throw new NodeError(
      'address-wrong',
      `The link cannot listen on "${address}". Write host:port, for example 127.0.0.1:8472.`,
    );
  return { host: (parts[1] ?? parts[2]) as string, port };
};

const bound = (server: Server, host: string, port: number, address: string): Promise<void> =>
  new Promise((resolve, reject) => {
    server.once('error', (cause: NodeJS.ErrnoException) => {
      reject(
        cause.code === 'EADDRINUSE'
          ? new NodeError(
              'link-port-in-use',
              `The link cannot listen on ${address}: another program has port ${port}, perhaps another elbowroom node. Stop it, or choose another port with --link ${host}:PORT.`,
              { cause },
            )
          : new NodeError(
              'link-could-not-open',
              `The link cannot listen on ${address}: ${cause.message}. Check link.listen in the kit file.`,
              { cause },
            ),
      );
    });
    server.listen(port, host, () => resolve());
  });
