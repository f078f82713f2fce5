import type { Duplex } from 'node:stream';
import {
  type Clock,
  type FromNode,
  HostProtocol,
  type LinkSecret,
  type NumberedMessage,
  parseFromNode,
  receiveFrames,
  type ToNodeMessage,
} from '../../node/index.js';
import type { Live } from '../live/live.js';
import type { Progress, Store } from '../store/index.js';
import { reportSecret, reportTwoNodes, reportVersion, twoNodesId } from './node-alerts.js';
import { PendingOrders } from './pending-orders.js';
import { Sequence } from './sequence.js';

/** Counted over all connections of this host; shown, so that no error stays hidden. */
export type LinkCounters = {
  damagedFrames: number;
  duplicates: number;
  notUnderstood: number;
  askedAgain: number;
};

export type Nodes = {
  readonly store: Store;
  readonly live: Live;
  readonly clock: Clock;
  readonly counters: LinkCounters;
  /** The secret that a node must see before it takes commands of this host. */
  readonly secret: () => LinkSecret | undefined;
  /** By node and boot; outlives connections. */
  readonly sequences: Map<string, Sequence>;
  /** The connection over which a node sends now. */
  readonly connections: Map<string, Conversation>;
};

const askAgainAfterMs = 2_000;
/** An arrival that a node did not answer, or that answered another, is repeated no sooner. */
const arriveAgainAfterMs = 1_000;
/** A node sends something every second; a wire this quiet is dead, whatever the operating system believes. */
const silenceMs = 15_000;

type Greeting = Extract<FromNode, { type: 'greeting' }>;

/** One connection to one node, from its greeting to the end of the wire. */
export class Conversation {
  readonly ended: Promise<void>;
  private greeting: Greeting | undefined;
  private sequence: Sequence | undefined;
  private lastReceivedMs: number;
  private lastAskedMs = Number.NEGATIVE_INFINITY;
  private lastAskedSeq = 0;
  private lastTakenMs = Number.NEGATIVE_INFINITY;
  /** Newest number shown of each kind of message: a repeated one still shows, unless a newer has come. */
  private readonly shown = new Map<string, number>();
  private readonly wire: Duplex;
  private readonly nodes: Nodes;
  private readonly address: string;
  private arrivedAtMs = Number.NEGATIVE_INFINITY;
  private readonly protocol: HostProtocol;
  private readonly orders = new PendingOrders((order) => this.send(order));

  constructor(wire: Duplex, address: string, nodes: Nodes) {
    this.wire = wire;
    this.address = address;
    this.nodes = nodes;
    this.protocol = new HostProtocol(nodes.secret);
    this.lastReceivedMs = nodes.clock.monotonicMs();
    receiveFrames(wire, { onFrame: (value) => this.receive(value), onDamaged: () => this.damaged() });
    wire.on('error', () => wire.destroy());
    this.ended = new Promise((resolve) => {
      wire.once('close', () => {
        this.end();
        resolve();
      });
    });
    this.arrive();
  }

  close(): void {
    this.wire.destroy();
  }

  /** The first frame: the node sends nothing before it has received it. */
  private arrive(): void {
    const now = this.nodes.clock.monotonicMs();
    if (now - this.arrivedAtMs < arriveAgainAfterMs) return;
    this.arrivedAtMs = now;
    if (this.wire.writable) this.wire.write(this.protocol.arrival());
  }

  /** Once a second: a dead wire is closed, and what is missing is asked for again. */
  tick(): void {
    const now = this.nodes.clock.monotonicMs();
    if (now - this.lastReceivedMs > silenceMs) this.close();
    else if (this.sequence?.isBehind() && now - this.lastTakenMs > askAgainAfterMs)
      this.askAgain(this.sequence.takenSeq + 1);
  }

  /** The store has made something safe; the node may forget it. */
  stored({ node, boot, seq }: Progress): void {
    if (this.greeting?.node === node && this.greeting.boot === boot) this.send({ type: 'stored', boot, seq });
  }

  private receive(value: unknown): void {
    this.lastReceivedMs = this.nodes.clock.monotonicMs();
    const message = parseFromNode(value);
    if (!message) this.notUnderstood(value);
    else if (message.type === 'greeting') this.greeted(message);
    else if (message.type === 'message') this.numbered(message);
    else this.orders.answered(message.requestId, { ok: message.ok, detail: message.detail });
  }

  private greeted(greeting: Greeting): void {
    const { node, boot, oldestSeq } = greeting;
    const meaning = this.protocol.onGreeting(greeting);
    reportVersion(this.nodes.live.own, node, this.address, meaning.kind === 'other-protocol');
    if (meaning.kind === 'other-protocol') return;
    // A node that has started again at the end of the same wire, or one that no host has greeted yet.
    if (meaning.kind === 'not-for-us') {
      this.arrive();
      return;
    }
    if (!this.isOnlyOneOfItsName(greeting)) return;
    reportSecret(this.nodes.live.own, node, this.address, meaning.proven);
    const { store, live, sequences } = this.nodes;
    this.greeting = greeting;
    const key = `${node} ${boot}`;
    const known = sequences.get(key);
    const sequence = known ?? new Sequence(store.intake.storedSeq(node, boot));
    if (!known && sequence.takenSeq === 0 && store.intake.knowsNode(node)) this.gap('node-restarted');
    sequences.set(key, sequence);
    sequence.reconnected();
    this.sequence = sequence;
    this.shown.clear();
    if (oldestSeq > sequence.takenSeq + 1) {
      this.gap('ring-overflow', sequence.takenSeq + 1, oldestSeq - 1);
      sequence.taken(oldestSeq - 1);
    }
    live.connected(node, this.orders.give);
    this.send({ type: 'stored', boot, seq: store.intake.storedSeq(node, boot) });
  }

  /** Two nodes of one name would mix two engine rooms: the second is refused, and an alert on the page says so. */
  private isOnlyOneOfItsName({ node, boot }: { readonly node: string; readonly boot: string }): boolean {
    const { connections, live, clock } = this.nodes;
    const other = connections.get(node);
    if (other && other !== this && other.greeting?.boot !== boot) {
      if (clock.monotonicMs() - other.lastReceivedMs < 5_000) {
        reportTwoNodes(live.own, node, other.address, this.address);
        this.close();
        return false;
      }
      other.close();
    }
    live.own.clear(twoNodesId(node));
    connections.set(node, this);
    return true;
  }

  private numbered(message: NumberedMessage): void {
    const { sequence, greeting } = this;
    if (!sequence || message.boot !== greeting?.boot || message.node !== greeting.node) {
      this.nodes.counters.notUnderstood++;
      return;
    }
    const { kind } = message.message;
    if (message.seq > (this.shown.get(kind) ?? sequence.takenSeq)) {
      this.shown.set(kind, message.seq);
      this.nodes.live.message(message.node, message.message, {
        boot: message.boot,
        clockSteppedMs: message.clockSteppedMs ?? 0,
        kept: message.seq < greeting.nextSeq,
      });
    }
    const verdict = sequence.judge(message.seq);
    if (verdict.do === 'ignore-duplicate') this.nodes.counters.duplicates++;
    else if (verdict.do === 'ask-again') this.askAgain(verdict.fromSeq);
    else {
      if (verdict.do === 'take-after-gap') this.gap('ring-overflow', verdict.fromSeq, verdict.toSeq);
      if (!this.nodes.store.intake.take(message)) return;
      sequence.taken(message.seq);
      this.lastTakenMs = this.lastReceivedMs;
    }
  }

  /** A frame whose checksum is right and whose message is unknown: a newer node. Its number must not hold up the rest. */
  private notUnderstood(value: unknown): void {
    this.nodes.counters.notUnderstood++;
    const { sequence, greeting } = this;
    if (!sequence || typeof value !== 'object' || value === null) return;
    const { boot, seq } = value as { boot?: unknown; seq?: unknown };
    if (boot === greeting?.boot && seq === sequence.takenSeq + 1) sequence.taken(seq);
  }

  private damaged(): void {
    this.nodes.counters.damagedFrames++;
    if (!this.sequence) return;
    this.sequence.damaged();
    this.askAgain(this.sequence.takenSeq + 1);
  }

  private askAgain(fromSeq: number): void {
    const now = this.nodes.clock.monotonicMs();
    if (!this.sequence || !this.greeting || this.nodes.store.intake.isFull()) return;
    // The frames that were under way when we asked come first: no reason to ask for the same again at once.
    if (fromSeq === this.lastAskedSeq && now - this.lastAskedMs < askAgainAfterMs) return;
    this.lastAskedMs = now;
    this.lastAskedSeq = fromSeq;
    this.sequence.askedAgain();
    this.nodes.counters.askedAgain++;
    this.send({ type: 'again', boot: this.greeting.boot, fromSeq });
  }

  private gap(reason: 'ring-overflow' | 'node-restarted', fromSeq?: number, toSeq?: number): void {
    if (!this.greeting) return;
    const { node, boot } = this.greeting;
    const { store, live } = this.nodes;
    const fromAt = Math.max(
      ...store.lastReadings().flatMap((last) => (last.node === node ? [last.row.at] : [])),
    );
    store.intake.takeGap({
      node,
      boot,
      reason,
      ...(Number.isFinite(fromAt) && { fromAt }),
      ...(fromSeq !== undefined && { fromSeq }),
      ...(toSeq !== undefined && { toSeq }),
    });
    if (fromSeq !== undefined && toSeq !== undefined) live.missed(node, toSeq - fromSeq + 1);
  }

  private send(message: ToNodeMessage): void {
    if (this.wire.writable) this.wire.write(this.protocol.frame(message));
  }

  private end(): void {
    const { live, connections } = this.nodes;
    this.orders.end();
    if (!this.greeting) return;
    const { node } = this.greeting;
    if (connections.get(node) === this) connections.delete(node);
    live.disconnected(node, this.orders.give);
  }
}
