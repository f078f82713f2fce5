import type { Duplex } from 'node:stream';
import type { AlertCommand, CommandAnswer as GuardAnswer } from '../alerts/alert.js';
import { encodeFrame } from './frame.js';
import type { FrameRing } from './frame-ring.js';
import { type FromNode, type Inner, linkProtocol, parseInner, parseToNode } from './messages.js';
import { receiveFrames } from './receive-frames.js';
import { type LinkSecret, newNonce, nodeProof, sameProof, sealOf, type Talk } from './seal.js';

export type CommandAnswer = Pick<GuardAnswer, 'ok' | 'detail'>;

export type ListenerSide = {
  readonly node: string;
  readonly boot: string;
  readonly ring: FrameRing;
  /** The secret of a host whose commands are accepted; none is while there is no secret. */
  readonly secret: () => LinkSecret | undefined;
  /** Answered once the guard has taken the command. */
  readonly onCommand: (command: AlertCommand) => Promise<CommandAnswer>;
  readonly onTestSound: (forS: number) => CommandAnswer;
  readonly onDamaged: () => void;
  /** A host has introduced itself. */
  readonly onArrived: (listener: Listener) => void;
};

/** Whether the wire reports that its other end closed: a socket that misbehaves is destroyed, a serial wire cannot be. */
export type WireKind = 'socket' | 'serial';

/** What may wait for a host that does not read; a socket with more is destroyed, an answer on a serial wire dropped. */
const mostUnreadBytes = 256 * 1024;
/** A command is a few hundred bytes; what is longer and comes a byte at a time would cost its length at every byte. */
const longestFromHost = 16 * 1024;
/** Messages that are taken in one turn of 100 ms; what is beyond waits in the operating system. */
const mostInOneTurn = 40;

/**
 * One host at the other end of a wire. It holds a place in the ring and sends on from there as fast as the wire
 * takes it; frames are not copied, and what else waits for a slow host is bounded.
 */
export class Listener {
  /** False until a host has arrived: on a serial wire there may be none. */
  hasArrived = false;
  /** Whether it has proved that it has the secret. */
  trusted = false;
  readonly wire: Duplex;
  private nextToSend: number;
  private waitingForDrain = false;
  private inThisTurn = 0;
  private lastCount = 0;
  private talk: Talk | undefined;
  private readonly side: ListenerSide;
  private readonly kind: WireKind;

  constructor(wire: Duplex, side: ListenerSide, kind: WireKind) {
    this.wire = wire;
    this.side = side;
    this.kind = kind;
    this.nextToSend = side.ring.firstUnstoredSeq;
    wire.on('drain', () => {
      this.waitingForDrain = false;
      this.sendMore();
    });
    receiveFrames(wire, {
      onFrame: (value) => this.receive(value),
      onDamaged: () => this.notUnderstood(),
      longest: longestFromHost,
    });
    if (kind === 'serial') this.greet();
  }

  /** Sends who this node is: to the host that has arrived, or on a serial wire to any host that may be there. */
  greet(): void {
    const { node, boot, ring } = this.side;
    const secret = this.side.secret();
    const { talk } = this;
    this.send({
      type: 'greeting',
      protocol: linkProtocol,
      node,
      boot,
      oldestSeq: ring.oldestSeq,
      nextSeq: ring.nextSeq,
      ...(talk && { nonce: talk.nonce, challenge: talk.challenge }),
      ...(talk && secret !== undefined && { proof: nodeProof(secret, talk) }),
    });
  }

  /** Sends what the ring holds beyond this listener's place, until the wire asks to wait. */
  sendMore(): void {
    if (!this.hasArrived) return;
    const { ring } = this.side;
    this.nextToSend = Math.max(this.nextToSend, ring.oldestSeq);
    while (!this.waitingForDrain && this.nextToSend < ring.nextSeq) {
      const frame = ring.at(this.nextToSend++);
      if (frame) this.write(frame);
    }
  }

  /** Back to the first frame that no host has stored: what was lost is sent again. */
  rewind(): void {
    this.hasArrived = false;
    this.talk = undefined;
    this.nextToSend = this.side.ring.firstUnstoredSeq;
  }

  /** Called every 100 ms: a host that sent too much in the last turn is read again. */
  nextTurn(): void {
    if (this.inThisTurn > mostInOneTurn) this.wire.resume();
    this.inThisTurn = 0;
  }

  private receive(value: unknown): void {
    if (this.wire.destroyed) return;
    if (++this.inThisTurn > mostInOneTurn) this.wire.pause();
    const message = parseToNode(value);
    if (!message || (message.type !== 'arrive' && !this.hasArrived)) this.notUnderstood();
    else if (message.type === 'arrive') this.arrived(message.nonce);
    else if (message.type === 'sealed') this.unseal(message);
    else this.obey(message, false);
    this.sendMore();
  }

  /** On a socket the first bytes must be an arrival, and nothing behind them is looked at when they are not. */
  private notUnderstood(): void {
    if (this.wire.destroyed) return;
    this.side.onDamaged();
    if (!this.hasArrived && this.kind === 'socket') this.wire.destroy();
  }

  private arrived(nonce: string): void {
    const { ring, boot } = this.side;
    this.talk = { nonce, challenge: newNonce(), boot };
    this.lastCount = 0;
    this.trusted = false;
    this.hasArrived = true;
    this.nextToSend = ring.firstUnstoredSeq;
    this.greet();
    this.side.onArrived(this);
  }

  private unseal({ count, body, seal }: { count: number; body: string; seal: string }): void {
    const secret = this.side.secret();
    const { talk } = this;
    const message = parseInner(body);
    if (!message || !talk) {
      this.notUnderstood();
      return;
    }
    const right =
      secret !== undefined && count > this.lastCount && sameProof(seal, sealOf(secret, talk, count, body));
    if (right) {
      this.lastCount = count;
      this.trusted = true;
    }
    this.obey(message, right);
  }

  /** An untrusted host may look: it moves its own place and nothing else. */
  private obey(message: Inner, trusted: boolean): void {
    const { ring, boot } = this.side;
    if (message.type === 'stored' && message.boot === boot) {
      if (trusted) ring.markStored(message.seq);
      this.nextToSend = Math.max(this.nextToSend, Math.min(message.seq + 1, ring.nextSeq));
    }
    if (message.type === 'again' && message.boot === boot)
      this.nextToSend = Math.min(Math.max(message.fromSeq, ring.oldestSeq), ring.nextSeq);
    if (message.type === 'stored' || message.type === 'again') return;
    const { requestId } = message;
    if (!trusted) this.answer(requestId, { ok: false, detail: notTrusted });
    else if (message.type === 'test-sound') this.answer(requestId, this.side.onTestSound(message.forS));
    else void this.side.onCommand(message.command).then((answer) => this.answer(requestId, answer));
  }

  private answer(requestId: string, { ok, detail }: CommandAnswer): void {
    this.send({ type: 'answer', requestId, ok, detail });
  }

  private send(message: FromNode): void {
    if (this.wire.writableLength > mostUnreadBytes) {
      if (this.kind === 'socket') this.wire.destroy();
      return;
    }
    this.write(encodeFrame(message));
  }

  private write(frame: string | Buffer): void {
    if (!this.wire.writable) return;
    if (!this.wire.write(frame)) this.waitingForDrain = true;
  }
}

const notTrusted =
  "The node does not obey this host: the host has not the node's link secret. Give both the same file with --link-secret.";
