import { createServer, type Socket } from 'node:net';
import type { OutputStatus } from '../../live/output-status.js';
import type { SentenceOutput } from './sentence-output.js';

/** A listener that takes nothing for this many bytes misses sentences, which are counted; the others do not wait for it. */
const mostWaitingBytes = 64 * 1024;
const mostListeners = 16;
const tryAgainMs = 30_000;

export interface TcpSentenceOutput extends SentenceOutput {
  /** The port once it listens; undefined while the port is taken by another program. */
  port(): number | undefined;
  readonly ready: Promise<void>;
}

/**
 * Gives the sentences to every display or plotter that connects. What they send is read and discarded.
 * A port in use is kept as the last error and tried again every 30 s: the host continues without it.
 */
export const serveOverTcp = (listen: { readonly host: string; readonly port: number }): TcpSentenceOutput => {
  const listeners = new Set<Socket>();
  let [sent, failed, dropped] = [0, 0, 0];
  let lastError: string | undefined;
  let again: NodeJS.Timeout | undefined;

  const server = createServer((socket) => {
    if (listeners.size >= mostListeners) {
      failed++;
      lastError = `More than ${mostListeners} listeners; ${socket.remoteAddress} was refused`;
      socket.destroy();
      return;
    }
    listeners.add(socket);
    socket.setNoDelay(true).setKeepAlive(true, 30_000).resume();
    socket.on('error', () => socket.destroy());
    socket.on('close', () => listeners.delete(socket));
  });
  const start = () => server.listen(listen.port, listen.host);
  const ready = new Promise<void>((resolve) => server.once('listening', resolve));
  server.on('error', (error) => {
    failed++;
    lastError = error.message;
    again = setTimeout(start, tryAgainMs).unref();
  });
  server.on('listening', () => {
    lastError = undefined;
  });
  start();

  return {
    ready,
    port: () => {
      const address = server.address();
      return address !== null && typeof address === 'object' ? address.port : undefined;
    },
    send: (sentences) => {
      for (const listener of listeners) {
        if (listener.writableLength > mostWaitingBytes) {
          dropped += sentences.length;
          lastError = `${listener.remoteAddress} does not keep up`;
          continue;
        }
        sent += sentences.length;
        listener.write(sentences.join(''));
      }
    },
    status: (): OutputStatus => ({
      name: `NMEA 0183 over TCP at ${listen.host}:${listen.port}`,
      sent,
      failed,
      waiting: 0,
      dropped,
      listeners: listeners.size,
      ...(lastError === undefined ? {} : { lastError }),
    }),
    close: () =>
      new Promise((resolve) => {
        clearTimeout(again);
        for (const listener of listeners) listener.destroy();
        if (server.listening) server.close(() => resolve());
        else resolve();
      }),
  };
};
