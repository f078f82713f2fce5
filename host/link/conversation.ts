import { randomUUID } from 'node:crypto';
import type { Duplex } from 'node:stream';
import {
  type Clock,
  type FromNode,
  HostVoice,
  type LinkSecret,
  type NumberedMessage,
  parseFromNode,
  receiveFrames,
  type ToNodeWords,
} from '../../node/index.js';
import type { CommandAnswer, Live, Order } from '../live/live.js';
import type { Progress, Store } from '../store/index.js';
import { tellOfSecret, tellOfTwoNodes, tellOfVersion, twoNodesId } from './node-alerts.js';
import { Sequence } from './sequence.js';

/** Counted over all connections of this host; shown, so that nothing goes wrong in silence. */
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
  /** What a node must see to obey this host. */
  readonly secret: () => LinkSecret | undefined;
  /** By node and boot; outlives connections. */
  readonly sequences: Map<string, Sequence>;
  /** The connection over which a node sends now. */
  readonly speaking: Map<string, Conversation>;
};

const askAgainAfterMs = 2_000;
const answerWithinMs = 5_000;
/** An arrival that a node did not answer, or that answered another, is repeated no sooner. */
const arriveAgainAfterMs = 1_000;
/** A node says something every second; a wire this quiet is dead, whatever the operating system believes. */
const silenceMs = 15_000;

type Greeting = Extract<FromNode, { type: 'greeting' }>;

/** One connection to one node, from its greeting to the end of the wire. */
export class Conversation {
  readonly ended: Promise<void>;
  private greeting: Greeting | undefined;
  private sequence: Sequence | undefined;
  private lastHeardMs: number;
  private lastAskedMs = Number.NEGATIVE_INFINITY;
  private lastAskedSeq = 0;
  private lastTakenMs = Number.NEGATIVE_INFINITY;
  /** Newest number shown of each kind of message: a repeated one still shows, unless a newer has come. */
  private readonly shown = new Map<string, number>();
  private readonly answers = new Map<string, (answer: CommandAnswer) => void>();
  private readonly wire: Duplex;
  private readonly nodes: Nodes;
  private readonly address: string;
  private arrivedAtMs = Number.NEGATIVE_INFINITY;
  private readonly voice: HostVoice;
  private readonly commander = (order: Order) => this.give(order);

  constructor(wire: Duplex, address: string, nodes: Nodes) {
    this.wire = wire;
    this.address = address;
    this.nodes = nodes;
    this.voice = new HostVoice(nodes.secret);
    this.lastHeardMs = nodes.clock.monotonicMs();
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

  /** The first words: the node says nothing before it has heard them. */
  private arrive(): void {
    const now = this.nodes.clock.monotonicMs();
    if (now - this.arrivedAtMs < arriveAgainAfterMs) return;
    this.arrivedAtMs = now;
    if (this.wire.writable) this.wire.write(this.voice.arrival());
  }

  /** Once a second: a dead wire is closed, and what is missing is asked for again. */
  tick(): void {
    const now = this.nodes.clock.monotonicMs();
    if (now - this.lastHeardMs > silenceMs) this.close();
    else if (this.sequence?.isBehind() && now - this.lastTakenMs > askAgainAfterMs)
      this.askAgain(this.sequence.takenSeq + 1);
  }

  /** The store has made something safe; the node may forget it. */
  stored({ node, boot, seq }: Progress): void {
    if (this.greeting?.node === node && this.greeting.boot === boot) this.send({ type: 'stored', boot, seq });
  }

  private receive(value: unknown): void {
    this.lastHeardMs = this.nodes.clock.monotonicMs();
    const message = parseFromNode(value);
    if (!message) this.notUnderstood(value);
    else if (message.type === 'greeting') this.greeted(message);
    else if (message.type === 'message') this.numbered(message);
    else this.answers.get(message.requestId)?.({ ok: message.ok, detail: message.detail });
  }

  private greeted(greeting: Greeting): void {
    const { node, boot, oldestSeq } = greeting;
    const heard = this.voice.hear(greeting);
    tellOfVersion(this.nodes.live.own, node, this.address, heard.kind === 'other-protocol');
    if (heard.kind === 'other-protocol') return;
    // A node that has started again at the end of the same wire, or one that no host has greeted yet.
    if (heard.kind === 'not-for-us') {
      this.arrive();
      return;
    }
    if (!this.mayspeakFor(greeting)) return;
    tellOfSecret(this.nodes.live.own, node, this.address, heard.proven);
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
    live.connected(node, this.commander);
    this.send({ type: 'stored', boot, seq: store.intake.storedSeq(node, boot) });
  }

  /** Two nodes of one name would mix two engine rooms: the second is refused, and an alert on the page says so. */
  private mayspeakFor({ node, boot }: { readonly node: string; readonly boot: string }): boolean {
    const { speaking, live, clock } = this.nodes;
    const other = speaking.get(node);
    if (other && other !== this && other.greeting?.boot !== boot) {
      if (clock.monotonicMs() - other.lastHeardMs < 5_000) {
        tellOfTwoNodes(live.own, node, other.address, this.address);
        this.close();
        return false;
      }
      other.close();
    }
    live.own.clear(twoNodesId(node));
    speaking.set(node, this);
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
      this.lastTakenMs = this.lastHeardMs;
    }
  }

  /** A frame whose bytes are right and whose words are not ours: a newer node. Its number must not hold up the rest. */
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

  private give(order: Order): Promise<CommandAnswer> {
    const requestId = randomUUID();
    return new Promise((resolve) => {
      const settle = (answer: CommandAnswer) => {
        clearTimeout(timer);
        this.answers.delete(requestId);
        resolve(answer);
      };
      const timer = setTimeout(
        () => settle({ ok: false, detail: `no answer within ${answerWithinMs / 1000} s` }),
        answerWithinMs,
      );
      this.answers.set(requestId, settle);
      this.send({ ...order, requestId });
    });
  }

  private send(message: ToNodeWords): void {
    if (this.wire.writable) this.wire.write(this.voice.frame(message));
  }

  private end(): void {
    const { live, speaking } = this.nodes;
    for (const settle of [...this.answers.values()]) settle({ ok: false, detail: 'the connection ended' });
    if (!this.greeting) return;
    const { node } = this.greeting;
    if (speaking.get(node) === this) speaking.delete(node);
    live.disconnected(node, this.commander);
  }
}
