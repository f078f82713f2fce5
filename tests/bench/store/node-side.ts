import { connect, createServer, type Socket } from 'node:net';
import { firstEngineCards } from '../../../node/index.js';
import { encodeFrame } from '../../../node/link/frame.js';
import { LinkServer } from '../../../node/link/link-server.js';
import type { AlertRow } from '../../../node/link/messages.js';
import { parseInner, parseToNode } from '../../../node/link/messages.js';
import { receiveFrames } from '../../../node/link/receive-frames.js';
import { card, reading, startAt } from '../../host/store/made-readings.js';

/** What every tenth message is: an alert, which makes the host commit at once. */
const alertEvery = 10;

/**
 * The node's end of the link without a board: the real link server, fed with numbered readings whose time shows
 * their number, and a wire in between that writes down what the host has confirmed.
 */
export class NodeSide {
  /** Highest number the host has said is stored. */
  confirmedSeq = 0;
  published = 1;
  port = 0;
  private readonly link: LinkServer;
  private readonly sockets = new Set<Socket>();
  private readonly wire = createServer((host) => this.join(host));
  private linkPort = 0;

  constructor(ringBytes = 64 * 1024 * 1024) {
    this.link = new LinkServer({
      node: 'engine-room',
      boot: 'boot-1',
      ringBytes,
      onCommand: async () => ({ ok: true, detail: '' }),
      onTestSound: () => ({ ok: false, detail: '' }),
      onListener: () => {},
    });
  }

  async start(): Promise<void> {
    this.linkPort = await this.link.listen('127.0.0.1:0');
    await new Promise<void>((resolve) => this.wire.listen(0, '127.0.0.1', resolve));
    this.port = (this.wire.address() as { port: number }).port;
    this.link.publish({
      kind: 'hello',
      boat: 'Invented',
      invented: true,
      engines: firstEngineCards,
      probes: [card('port-elbow')],
    });
  }

  get framesLost(): number {
    return this.link.framesLost;
  }

  /** The next message: readings, and an alert that changes with every tenth. */
  publish(): void {
    const seq = ++this.published;
    const at = startAt + seq * 1000;
    if (seq % alertEvery !== 0)
      this.link.publish({ kind: 'readings', rate: 'second', rows: [reading('port-elbow', at)] });
    else this.link.publish({ kind: 'alerts', at, alerts: [alertAt(at)] });
  }

  stop(): Promise<void> {
    for (const socket of this.sockets) socket.destroy();
    this.wire.close();
    return this.link.close();
  }

  private join(host: Socket): void {
    const node = connect(this.linkPort, '127.0.0.1');
    for (const socket of [host, node]) {
      this.sockets.add(socket);
      socket.on('error', () => {});
      socket.on('close', () => {
        host.destroy();
        node.destroy();
      });
    }
    node.pipe(host);
    receiveFrames(host, {
      onDamaged: () => {},
      onFrame: (value) => {
        const message = parseToNode(value);
        const said = message?.type === 'sealed' ? parseInner(message.body) : message;
        if (said?.type === 'stored') this.confirmedSeq = Math.max(this.confirmedSeq, said.seq);
        if (message) node.write(encodeFrame(message));
      },
    });
  }
}

const alertAt = (at: number): AlertRow => ({
  id: 'cooling:port',
  rule: 'high-limit',
  priority: 'warning',
  state: 'unacknowledged',
  since: startAt,
  message: `Seen at ${at}`,
  evidence: { values: { at }, thresholds: {} },
  actions: [],
});

/** How many of the numbers 1 to `seq` are readings and how many are alerts; 1 is the hello. */
export const contentsUpTo = (seq: number) => {
  const alerts = Math.floor(seq / alertEvery);
  return { alerts, readings: Math.max(0, seq - 1 - alerts) };
};
