import { once } from 'node:events';
import { createServer, type IncomingMessage, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { asWallMs } from '../../../node/time/clock.js';

/** A real server; `answers` are status codes in order, the last one repeated. */
export const webhookServer = async (answers: { status: number; headers?: Record<string, string> }[]) => {
  const received: { headers: IncomingMessage['headers']; body: string }[] = [];
  const http = createServer((request: IncomingMessage, response: ServerResponse) => {
    let body = '';
    request.on('data', (chunk) => (body += chunk));
    request.on('end', () => {
      received.push({ headers: request.headers, body });
      const answer = answers[Math.min(received.length, answers.length) - 1] ?? { status: 500 };
      response.writeHead(answer.status, answer.headers).end(answer.status < 300 ? 'ok' : 'no such place');
    });
  });
  await new Promise<void>((resolve) => http.listen(0, '127.0.0.1', resolve));
  const close = async () => {
    const closed = once(http, 'close');
    http.close();
    http.closeAllConnections();
    await closed;
  };
  return { url: `http://127.0.0.1:${(http.address() as AddressInfo).port}/hook`, received, close };
};

/** What the owner and the server share. */
export const secret = `whsec_${Buffer.from('a secret of the owner, 32 bytes!').toString('base64')}`;
export const clock = { wallMs: () => asWallMs(Date.now()) };
