import { createServer, type Socket } from 'node:net';
import type { Duplex } from 'node:stream';
import type { AlertCommand } from '../alerts/alert.js';
import { NodeError } from '../errors/node-error.js';
import { encodeFrame } from './frame.js';
import { FrameRing } from './frame-ring.js';
import { listenOn, parseListenAddress } from './listen-on.js';
import { type CommandAnswer, Listener, type ListenerSide, type WireKind } from './listener.js';
import type { FromNode, NodeMessage } from './messages.js';
import type { LinkSecret } from './seal.js';

export type LinkOptions = {
  readonly node: string;
  readonly boot: string;
  readonly ringBytes?: number;
  /** The secret of a host whose commands are accepted; without one none is. Asked again for each host that arrives. */
  readonly secret?: () => LinkSecret | undefined;
  /** The sum of the wall clock's steps since the boot; travels with every message once it is not 0. */
  readonly clockSteppedMs?: () => number;
  readonly onCommand: (command: AlertCommand) => Promise<CommandAnswer>;
  readonly onTestSound: (forS: number) => CommandAnswer;
  /** A host has arrived: the node numbers a fresh hello, alerts and status. At most once a second. */
  readonly onListener: () => void;
};

/** A serial wire has no connect or close event for a host; these spans replace it. */
const greetEveryMs = 2_000;
const rewindAfterGreetings = 8;
const mostListeners = 8;
/** Connections that have not introduced themselves: this many, for this long. The oldest makes room for the next. */
const mostUnidentified = 16;
const introduceWithinMs = 2_000;
/** Commands that one pass of the guard takes, from all hosts together; a person gives one. */
const mostCommandsWaiting = 16;
const turnMs = 100;
const introduceEveryMs = 1_000;

/** The node's side of the link: one ring, a few listeners, and a node that never waits for them. */
export class LinkServer {
  damaged = 0;
  private readonly ring: FrameRing;
  private readonly listeners = new Set<Listener>();
  private readonly unidentified = new Set<Socket>();
  private readonly side: ListenerSide;
  private readonly options: LinkOptions;
  private readonly closers = new Set<() => Promise<void>>();
  private readonly turns: NodeJS.Timeout;
  private commandsWaiting = 0;
  private introducedAtMs = Number.NEGATIVE_INFINITY;
  private introduction: NodeJS.Timeout | undefined;

  constructor(options: LinkOptions) {
    this.options = options;
    this.ring = new FrameRing(options.ringBytes);
    this.side = {
      node: options.node,
      boot: options.boot,
      ring: this.ring,
      secret: () => options.secret?.(),
      onCommand: (command) => this.command(command),
      onTestSound: options.onTestSound,
      onDamaged: () => {
        this.damaged++;
      },
      onArrived: (listener) => this.arrived(listener),
    };
    this.turns = setInterval(() => {
      for (const listener of this.listeners) listener.nextTurn();
    }, turnMs);
    this.turns.unref();
  }

  get framesLost(): number {
    return this.ring.lost;
  }

  get listening(): number {
    return [...this.listeners].filter((listener) => listener.hasArrived).length;
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
      socket.setNoDelay(true);
      // A host that lost its power never closes its connection; without this its place would be kept for ever.
      socket.setKeepAlive(true, 10_000);
      sockets.add(socket);
      const listener = this.attach(socket, 'socket');
      this.expectIntroduction(socket);
      socket.on('close', () => {
        sockets.delete(socket);
        this.unidentified.delete(socket);
        this.listeners.delete(listener);
      });
    });
    server.maxConnections = mostListeners + mostUnidentified + 1;
    const taken = await listenOn(server, { host, port }, (cause) =>
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
    this.closers.add(
      () =>
        new Promise((done) => {
          server.close(() => done());
          for (const socket of sockets) socket.destroy();
        }),
    );
    return taken;
  }

  /** Serves one wire on which a host may come and go unseen, such as a serial port. Ends with the wire. */
  serveWire(wire: Duplex): void {
    const listener = this.attach(wire, 'serial');
    let silentGreetings = 0;
    wire.on('data', () => {
      silentGreetings = 0;
    });
    const timer = setInterval(() => {
      if (listener.hasArrived && ++silentGreetings >= rewindAfterGreetings) listener.rewind();
      if (!listener.hasArrived) listener.greet();
    }, greetEveryMs);
    const close = async () => {
      gone();
      wire.destroy();
    };
    const gone = () => {
      clearInterval(timer);
      this.listeners.delete(listener);
      this.closers.delete(close);
    };
    wire.once('close', gone);
    this.closers.add(close);
  }

  async close(): Promise<void> {
    clearInterval(this.turns);
    clearTimeout(this.introduction);
    await Promise.all([...this.closers].map((close) => close()));
    this.closers.clear();
    this.listeners.clear();
  }

  private attach(wire: Duplex, kind: WireKind): Listener {
    const listener = new Listener(wire, this.side, kind);
    this.listeners.add(listener);
    return listener;
  }

  /** Connections that say nothing cannot lock a host out. */
  private expectIntroduction(socket: Socket): void {
    this.unidentified.add(socket);
    if (this.unidentified.size > mostUnidentified) this.unidentified.values().next().value?.destroy();
    const timer = setTimeout(() => {
      if (this.unidentified.has(socket)) socket.destroy();
    }, introduceWithinMs);
    socket.once('close', () => clearTimeout(timer));
  }

  /** With every place taken, the one that goes is the oldest that never showed the secret; failing that, the new one. */
  private arrived(listener: Listener): void {
    this.unidentified.delete(listener.wire as Socket);
    const arrived = [...this.listeners].filter(({ hasArrived }) => hasArrived);
    if (arrived.length > mostListeners)
      (arrived.find((other) => !other.trusted && other !== listener) ?? listener).wire.destroy();
    this.introduce();
  }

  private introduce(): void {
    if (this.introduction) return;
    const waitMs = this.introducedAtMs + introduceEveryMs - performance.now();
    if (waitMs <= 0) {
      this.introducedAtMs = performance.now();
      this.options.onListener();
      return;
    }
    this.introduction = setTimeout(() => {
      this.introduction = undefined;
      this.introduce();
    }, waitMs);
    this.introduction.unref();
  }

  private async command(command: AlertCommand): Promise<CommandAnswer> {
    if (this.commandsWaiting >= mostCommandsWaiting)
      return { ok: false, detail: 'Too many commands at once. Try again in a second.' };
    this.commandsWaiting++;
    try {
      return await this.options.onCommand(command);
    } finally {
      this.commandsWaiting--;
    }
  }
}
