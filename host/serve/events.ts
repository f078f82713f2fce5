import type { OutgoingHttpHeaders } from 'node:http';
import type { FastifyReply, FastifyRequest } from 'fastify';

/** A tab that does not read (a sleeping tablet) is let go at this many waiting bytes; it reconnects by itself. */
const mostWaitingBytes = 512_000;
export const mostListeners = 24;

type Listener = {
  readonly reply: FastifyReply;
  readonly leave: () => void;
  readonly mayHear: () => boolean;
};

/** Server-sent events to every open page. */
export class Events {
  readonly #listeners = new Set<Listener>();
  /** Pages let go because they did not read. */
  dropped = 0;

  get count(): number {
    return this.#listeners.size;
  }

  /**
   * Keeps the reply open until the page leaves or `mayHear` says no, asked before each event. A hijacked reply is sent
   * with the headers that it has got so far.
   */
  join(request: FastifyRequest, reply: FastifyReply, mayHear: () => boolean): Listener {
    reply.hijack();
    reply.raw.writeHead(200, {
      ...(reply.getHeaders() as OutgoingHttpHeaders),
      'content-type': 'text/event-stream',
      'cache-control': 'no-store',
      connection: 'keep-alive',
      'x-accel-buffering': 'no',
    });
    reply.raw.write('retry: 1000\n\n');
    const listener: Listener = { reply, leave: () => this.#listeners.delete(listener), mayHear };
    this.#listeners.add(listener);
    request.raw.socket.on('close', listener.leave);
    reply.raw.on('error', listener.leave);
    return listener;
  }

  send(event: string, data: unknown, only?: Listener): void {
    const text = `event: ${event}\ndata: ${JSON.stringify(data)}\n\n`;
    for (const listener of only ? [only] : this.#listeners) {
      const { raw } = listener.reply;
      if (!listener.mayHear()) {
        listener.leave();
        raw.end();
      } else if (raw.writableLength > mostWaitingBytes) {
        this.dropped += 1;
        listener.leave();
        raw.destroy();
      } else raw.write(text);
    }
  }

  close(): void {
    for (const { reply } of this.#listeners) reply.raw.end();
    this.#listeners.clear();
  }
}
