import { existsSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import fastifyStatic from '@fastify/static';
import Fastify, { type FastifyInstance } from 'fastify';
import type { Clock } from '../../node/index.js';
import { alertRoutes } from './alert-routes.js';
import { benchRoutes } from './bench-routes.js';
import { Events, mostListeners } from './events.js';
import type { LiveSource } from './live-source.js';
import { nowDocument } from './now.js';
import { Recent } from './recent.js';
import { comesFromHere, isLoopbackName } from './same-origin.js';
import { securityHeaders } from './security-headers.js';

export type PageOptions = {
  readonly live: LiveSource;
  readonly clock: Clock;
  /** 0 takes a free port. */
  readonly port: number;
  /** Loopback unless told otherwise. */
  readonly address?: string;
  /** The bench's control endpoint; its presence gives the page a Bench screen. */
  readonly controlPort?: number;
};

export type ServedPage = { readonly url: string; readonly port: number; close(): Promise<void> };

/** `dist/page` seen from the compiled file and from the source alike. */
const builtPage = ['../../page/', '../../dist/page/']
  .map((path) => fileURLToPath(new URL(path, import.meta.url)))
  .find((path) => existsSync(`${path}index.html`) && existsSync(`${path}assets`));

/** Serves the page and its interface. Throws `PageError` when the port is taken. */
export const servePage = async (options: PageOptions): Promise<ServedPage> => {
  const { live, clock, port, address = '127.0.0.1' } = options;
  const app = Fastify({ logger: false, bodyLimit: 64_000, forceCloseConnections: true });
  const recent = new Recent();
  const events = new Events();
  const now = () => nowDocument(live.nodes(), recent, clock.wallMs());

  guardEveryRequest(app);
  app.get('/api/now', () => now());
  app.get('/api/recent', () => Object.fromEntries(recent.probes().map((probe) => [probe, recent.of(probe)])));
  app.get('/api/events', (request, reply) => {
    if (events.count >= mostListeners) {
      reply.code(503);
      return { error: 'too-many-pages', message: `${mostListeners} pages are open already. Close one.` };
    }
    events.send('now', now(), events.join(request, reply, securityHeaders));
  });
  alertRoutes(app, live);
  benchRoutes(app, options.controlPort);
  await servePageFiles(app);

  const tell = () => events.send('now', now());
  const stopMessages = live.on((node, message) => {
    if (message.kind === 'readings') {
      recent.add(message.rows);
      events.send('readings', {
        node,
        rows: message.rows.map(({ probe, at, temperatureC, quality }) => ({
          probe,
          at,
          temperatureC,
          quality,
        })),
      });
    } else tell();
  });
  const stopChanges = live.onChange(tell);
  const beat = setInterval(tell, 1_000);

  const close = async () => {
    clearInterval(beat);
    stopMessages();
    stopChanges();
    events.close();
    await app.close();
  };
  try {
    await app.listen({ port, host: address });
  } catch (cause) {
    await close();
    throw new PageError(cause, address, port);
  }
  const bound = app.server.address();
  const boundPort = typeof bound === 'object' && bound ? bound.port : port;
  return {
    url: `http://${address.includes(':') ? `[${address}]` : address}:${boundPort}/`,
    port: boundPort,
    close,
  };
};

/** The page could not be served; the message says why and what to do. */
export class PageError extends Error {
  readonly code: string;
  constructor(cause: unknown, address: string, port: number) {
    const code = cause instanceof Error && 'code' in cause ? String(cause.code) : 'unknown';
    const why =
      code === 'EADDRINUSE'
        ? `port ${port} on ${address} is taken by another program, perhaps an Elbowroom that still runs. Stop it, or choose another with --page-port`
        : `cannot listen on ${address}:${port} (${code}). Choose another address or port`;
    super(`The page is not served: ${why}.`, { cause });
    this.code = code === 'EADDRINUSE' ? 'page-port-taken' : 'page-not-served';
  }
}

const guardEveryRequest = (app: FastifyInstance): void => {
  app.addHook('onRequest', async (request, reply) => {
    reply.headers(securityHeaders);
    if (!isLoopbackName(request.headers.host)) {
      return reply.code(421).send({
        error: 'wrong-name',
        message: 'This page answers to localhost only. Listening wider needs a pass-phrase: see README.',
      });
    }
    if (request.method !== 'GET' && request.method !== 'HEAD' && !comesFromHere(request)) {
      return reply
        .code(403)
        .send({ error: 'other-origin', message: 'Actions are taken only from this page itself.' });
    }
  });
  app.addHook('onSend', async (request, reply) => {
    if (request.url.startsWith('/api/')) reply.header('cache-control', 'no-store');
  });
  app.setErrorHandler((error: Error & { statusCode?: number }, _request, reply) => {
    const code = error.statusCode && error.statusCode < 500 ? error.statusCode : 500;
    reply.code(code).send({ error: code < 500 ? 'asked-wrongly' : 'failed', message: error.message });
  });
};

const servePageFiles = async (app: FastifyInstance): Promise<void> => {
  if (builtPage === undefined) {
    app.get('/', (_request, reply) => {
      reply.code(503).type('text/plain');
      return 'The page is not built. Run: npm run build';
    });
    return;
  }
  await app.register(fastifyStatic, { root: builtPage, cacheControl: true, maxAge: 0, etag: true });
  app.setNotFoundHandler((request, reply) => {
    reply.code(404).send({ error: 'not-here', message: `There is no ${request.url}. The page is at /.` });
  });
};
