import { randomUUID } from 'node:crypto';
import type { ToNodeMessage } from '../../node/index.js';
import type { CommandAnswer, Order } from '../live/live.js';

const answerWithinMs = 5_000;

/** Commands sent over one connection, each with the caller that waits for its answer. */
export class PendingOrders {
  private readonly waiting = new Map<string, (answer: CommandAnswer) => void>();
  private readonly send: (order: ToNodeMessage) => void;

  constructor(send: (order: ToNodeMessage) => void) {
    this.send = send;
  }

  /** Sends a command; resolves with `ok: false` where the node does not answer within 5 s, or the connection ends. Never rejects. */
  readonly give = (order: Order): Promise<CommandAnswer> => {
    const requestId = randomUUID();
    return new Promise((resolve) => {
      const settle = (answer: CommandAnswer) => {
        clearTimeout(timer);
        this.waiting.delete(requestId);
        resolve(answer);
      };
      const timer = setTimeout(
        () => settle({ ok: false, detail: `no answer within ${answerWithinMs / 1000} s` }),
        answerWithinMs,
      );
      this.waiting.set(requestId, settle);
      this.send({ ...order, requestId });
    });
  };

  answered(requestId: string, answer: CommandAnswer): void {
    this.waiting.get(requestId)?.(answer);
  }

  end(): void {
    for (const settle of [...this.waiting.values()]) settle({ ok: false, detail: 'the connection ended' });
  }
}
