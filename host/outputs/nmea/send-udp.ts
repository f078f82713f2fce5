import { createSocket } from 'node:dgram';
import type { OutputStatus } from '../../live/output-status.js';
import { isIpv6 } from '../../settings/schema.js';
import type { SentenceOutput } from './sentence-output.js';

/**
 * Sends each sentence as one datagram. UDP does not say whether it arrived; what the network refuses at once
 * (no route, no broadcast allowed) is counted and kept as the last error, and the next round is sent all the same.
 */
export const sendOverUdp = (target: {
  readonly host: string;
  readonly port: number;
  readonly broadcast: boolean;
}): SentenceOutput => {
  const socket = createSocket(isIpv6(target.host) ? 'udp6' : 'udp4');
  const name = `NMEA 0183 over UDP to ${target.host}:${target.port}`;
  let [sent, failed, waiting] = [0, 0, 0];
  let lastError: string | undefined;
  let closed = false;
  const fail = (error: Error) => {
    failed++;
    lastError = error.message;
  };
  socket.on('error', fail);
  socket.bind(0, () => {
    if (target.broadcast && !closed) socket.setBroadcast(true);
  });
  socket.unref();
  return {
    send: (sentences) => {
      for (const sentence of sentences) {
        waiting++;
        socket.send(sentence, target.port, target.host, (error) => {
          waiting--;
          if (error) {
            fail(error);
            return;
          }
          sent++;
          lastError = undefined;
        });
      }
    },
    status: (): OutputStatus => ({
      name,
      sent,
      failed,
      waiting,
      dropped: 0,
      ...(lastError === undefined ? {} : { lastError }),
    }),
    close: () =>
      new Promise((resolve) => {
        closed = true;
        socket.close(() => resolve());
      }),
  };
};
