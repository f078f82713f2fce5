import type { Duplex } from 'node:stream';
import type { AlertCommand, CommandAnswer as GuardAnswer } from '../alerts/alert.js';
import { encodeFrame } from './frame.js';
import type { FrameRing } from './frame-ring.js';
import type { FromNode } from './messages.js';
import { parseToNode } from './parse-message.js';
import { receiveFrames } from './receive-frames.js';

export type CommandAnswer = Pick<GuardAnswer, 'ok' | 'detail'>;

export type ListenerSide = {
  readonly node: string;
  readonly boot: string;
  readonly ring: FrameRing;
  /** Answered once the guard has taken the command. */
  readonly onCommand: (command: AlertCommand) => Promise<CommandAnswer>;
  readonly onTestSound: (forS: number) => CommandAnswer;
  readonly onDamaged: () => void;
};

/**
 * One host at the other end of a wire. It holds a place in the ring and sends on from there as fast as the wire
 * takes it; nothing is copied and nothing piles up for a slow host.
 */
export class Listener {
  /** False until the other end has said something that parses: on a serial wire nobody may be there. */
  heard = false;
  private nextToSend: number;
  private waitingForDrain = false;
  private readonly wire: Duplex;
  private readonly side: ListenerSide;
  private readonly sendUnheard: boolean;

  constructor(wire: Duplex, side: ListenerSide, { sendUnheard }: { readonly sendUnheard: boolean }) {
    this.wire = wire;
    this.side = side;
    this.sendUnheard = sendUnheard;
    this.nextToSend = side.ring.firstUnstoredSeq;
    wire.on('drain', () => {
      this.waitingForDrain = false;
      this.sendMore();
    });
    receiveFrames(wire, { onFrame: (value) => this.receive(value), onDamaged: side.onDamaged });
    this.greet();
    this.sendMore();
  }

  greet(): void {
    const { node, boot, ring } = this.side;
    this.send({
      type: 'greeting',
      protocol: 1,
      node,
      boot,
      oldestSeq: ring.oldestSeq,
      nextSeq: ring.nextSeq,
    });
  }

  /** Sends what the ring holds beyond this listener's place, until the wire asks to wait. */
  sendMore(): void {
    if (!this.heard && !this.sendUnheard) return;
    const { ring } = this.side;
    this.nextToSend = Math.max(this.nextToSend, ring.oldestSeq);
    while (!this.waitingForDrain && this.nextToSend < ring.nextSeq) {
      const frame = ring.at(this.nextToSend++);
      if (frame) this.write(frame);
    }
  }

  /** Back to the first frame that nobody stored: what was sent into the void is sent again. */
  rewind(): void {
    this.heard = false;
    this.nextToSend = this.side.ring.firstUnstoredSeq;
  }

  private receive(value: unknown): void {
    const message = parseToNode(value);
    if (!message) {
      this.side.onDamaged();
      return;
    }
    this.heard = true;
    const { ring, boot } = this.side;
    if ('boot' in message && message.boot !== boot) {
      // Somebody who speaks of another boot, or of none, has just come and does not know yet whom he speaks to.
      this.rewind();
      this.greet();
    }
    if (message.type === 'stored' && message.boot === boot) {
      ring.markStored(message.seq);
      this.nextToSend = Math.max(this.nextToSend, Math.min(message.seq + 1, ring.nextSeq));
    }
    if (message.type === 'again' && message.boot === boot)
      this.nextToSend = Math.min(Math.max(message.fromSeq, ring.oldestSeq), ring.nextSeq);
    if (message.type === 'command')
      void this.side.onCommand(message.command).then(({ ok, detail }) => {
        this.send({ type: 'answer', requestId: message.requestId, ok, detail });
      });
    if (message.type === 'test-sound') {
      const { ok, detail } = this.side.onTestSound(message.forS);
      this.send({ type: 'answer', requestId: message.requestId, ok, detail });
    }
    this.sendMore();
  }

  private send(message: FromNode): void {
    this.write(encodeFrame(message));
  }

  private write(frame: string | Buffer): void {
    if (!this.wire.writable) return;
    if (!this.wire.write(frame)) this.waitingForDrain = true;
  }
}
