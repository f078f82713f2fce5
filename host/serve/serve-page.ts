import { existsSync } from 'node:fs';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import fastifyStatic from '@fastify/static';
import Fastify, { type FastifyInstance } from 'fastify';
import { prettifyError, ZodError } from 'zod';
import type { Clock } from '../../node/index.js';
import { nodeOfKit } from '../kit-file/kit-file.js';
import { KitKeeper } from '../kit-file/kit-keeper.js';
import type { LiveSource } from '../live/live-source.js';
import type { OutputStatus } from '../live/output-status.js';
import { Recent } from '../live/recent.js';
import type { Store } from '../store/index.js';
import type { Scale } from '../wording/degrees.js';
import type { Access } from './access/access-file.js';
import { gate } from './access/gate.js';
import { alertRoutes, soundRoute } from './alert-routes.js';
import { benchRoutes } from './bench-routes.js';
import { calibrateRoutes, isAskedWrongly } from './calibrate-routes.js';
import { Events, mostListeners } from './events.js';
import { healthRoutes } from './health-routes.js';
import { historyRoutes } from './history-routes.js';
import { kitRoutes } from './kit-routes.js';
import { metricsRoutes } from './metrics-routes.js';
import { type Now, nowDocument } from './now.js';
import { outputRoutes } from './output-routes.js';
import { isLoopbackAddress, PageError, refuseOpenDoor } from './page-error.js';
import { patchOf } from './patch.js';
import { securityHeaders } from './security-headers.js';

export type PageOptions = {
  readonly live: LiveSource;
  readonly clock: Clock;
  /** Absent only where nothing is kept; then there is no history. */
  readonly store?: Store;
  /** 0 takes a free port. */
  readonly port: number;
  /** Loopback by default. */
  readonly address?: string;
  /** Who may come in at this moment; needed to listen wider than loopback. */
  readonly access?: () => Access | undefined;
  /** Certificate and key in PEM; the page is then served over https. */
  readonly tls?: { readonly cert: string; readonly key: string };
  /** The kit file on this computer; its presence opens Set-up and Calibrate. */
  readonly kitPath?: string;
  /** What the owner chose to read, where a browser has not chosen itself; Celsius unless given. */
  readonly degrees?: Scale;
  /** Longest stretch between two calibrations, where the owner set one. */
  readonly calibrateEveryDays?: number;
  /** How everything that leaves the host is doing. */
  readonly outputs?: () => readonly OutputStatus[];
  /** Serves the present at /metrics, in the OpenMetrics format. */
  readonly metrics?: boolean;
  /** The bench's control endpoint; its presence gives the page a Bench screen. */
  readonly controlPort?: number;
  /** Where the host's own words go. */
  readonly log?: (words: string) => void;
};

export type ServedPage = { readonly url: string; readonly port: number; close(): Promise<void> };

/** `dist/page` seen from the bundled file, from the compiled one and from the source. */
const builtPage = ['../page/', '../../page/', '../../dist/page/']
  .map((path) => fileURLToPath(new URL(path, import.meta.url)))
  .find((path) => existsSync(`${path}index.html`) && existsSync(`${path}assets`));

/** Serves the page and its interface. Throws `PageError` when the port is taken. */
export const servePage = async (options: PageOptions): Promise<ServedPage> => {
  const { live, clock, port, address = '127.0.0.1', access = () => undefined, tls } = options;
  const loopback = isLoopbackAddress(address);
  refuseOpenDoor(address, access());
  const app = makeApp(tls);
  app.server.maxConnections = mostConnections;
  const recent = new Recent();
  const events = new Events();
  /** What was last sent to every open page; each second only the difference is sent. */
  let sent: Now | undefined;
  const kitNode = options.kitPath === undefined ? undefined : nodeOfKit(options.kitPath);
  const now = (): Now => ({
    ...nowDocument(live.nodes(), recent, clock.wallMs(), options.degrees),
    ...(kitNode !== undefined && { kitNode }),
  });

  setErrorHandler(app);
  await securityHeaders(app, tls !== undefined);
  const mayHear = gate(app, {
    access,
    loopback,
    secure: tls !== undefined,
    bench: options.controlPort !== undefined,
    clock,
  });
  app.get('/api/now', () => now());
  app.get('/api/recent', () => recent.lines());
  app.get('/api/events', (request, reply) => {
    if (events.count >= mostListeners) {
      reply.code(503);
      return { error: 'too-many-pages', message: `${mostListeners} pages are open already. Close one.` };
    }
    // A page begins with what the others have, so that one patch serves all.
    if (events.count === 0) sent = now();
    events.send(
      'now',
      sent,
      events.join(request, reply, () => mayHear(request)),
    );
  });
  alertRoutes(app, live);
  soundRoute(app, live);
  benchRoutes(app, options.controlPort);
  if (options.metrics) metricsRoutes(app, live);
  outputRoutes(app, options.outputs ?? (() => []));
  const { kitPath, store, log } = options;
  const keeper = kitPath === undefined ? undefined : new KitKeeper({ kitPath, clock, log });
  kitRoutes(app, { keeper, store, clock });
  if (store) {
    historyRoutes(app, store, clock);
    healthRoutes(app, { store, live, clock, kitPath, calibrateEveryDays: options.calibrateEveryDays });
  }
  const stopCalibration = keeper && (await calibrateRoutes(app, { keeper, live, clock }));
  await servePageFiles(app);

  const tell = () => {
    if (events.count === 0) return;
    const next = now();
    const patch = patchOf(sent, next);
    sent = next;
    events.send('patch', patch ?? {});
  };
  const stopMessages = live.on((node, message, delivery) => {
    if (message.kind === 'readings') {
      recent.add(node, message.rows, delivery);
      events.send('readings', {
        node,
        clock: `${delivery.boot} ${delivery.clockSteppedMs}`,
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
    stopCalibration?.();
    stopChanges();
    events.close();
    await app.close();
  };
  try {
    await app.listen({ port, host: address });
  } catch (cause) {
    await close();
    throw cannotListen(cause, address, port);
  }
  const bound = app.server.address();
  const boundPort = typeof bound === 'object' && bound ? bound.port : port;
  return {
    url: `${tls ? 'https' : 'http'}://${address.includes(':') ? `[${address}]` : address}:${boundPort}/`,
    port: boundPort,
    close,
  };
};

/** From the first byte to the last of a request, which is 64 kB at most: slow ones must not pile up. */
const requestWithinMs = 8_000;
const waits = { headersTimeout: 5_000, connectionsCheckingInterval: 1_000 } as const;
/** Pages, programs and what a browser opens beside; a further one waits until another closes. */
const mostConnections = 300;

const makeApp = (tls: PageOptions['tls']): FastifyInstance => {
  const common = {
    logger: false,
    bodyLimit: 64_000,
    forceCloseConnections: true,
    requestTimeout: requestWithinMs,
  };
  if (!tls) return Fastify({ ...common, http: waits });
  try {
    return Fastify({
      ...common,
      https: { ...waits, cert: tls.cert, key: tls.key, minVersion: 'TLSv1.2' },
    }) as unknown as FastifyInstance;
  } catch (cause) {
    const why = cause instanceof Error ? cause.message : String(cause);
    throw new PageError(
      'bad-certificate',
      `The certificate or its key cannot be used (${why}). Both must be PEM and belong together.`,
      cause,
    );
  }
};

const cannotListen = (cause: unknown, address: string, port: number): PageError => {
  const code = cause instanceof Error && 'code' in cause ? String(cause.code) : 'unknown';
  return code === 'EADDRINUSE'
    ? new PageError(
        'page-port-taken',
        `The page is not served: port ${port} on ${address} is taken by another program, perhaps an Elbowroom that still runs. Stop it, or choose another with --page-port.`,
        cause,
      )
    : new PageError(
        'page-not-served',
        `The page is not served: cannot listen on ${address}:${port} (${code}). Choose another address or port.`,
        cause,
      );
};

const setErrorHandler = (app: FastifyInstance): void => {
  app.addHook('onSend', async (request, reply) => {
    if (request.url.startsWith('/api/')) reply.header('cache-control', 'no-store');
  });
  app.setErrorHandler((error: Error & { statusCode?: number }, _request, reply) => {
    const code = isAskedWrongly(error)
      ? 400
      : error.statusCode && error.statusCode < 500
        ? error.statusCode
        : 500;
    const message = error instanceof ZodError ? prettifyError(error) : error.message;
    reply.code(code).send({ error: code < 500 ? 'asked-wrongly' : 'failed', message });
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
  await app.register(fastifyStatic, {
    root: builtPage,
    // The document is requested again each time; its assets have their own hash in their names, so they never change.
    cacheControl: false,
    setHeaders: (reply, path) => {
      const lasting = dirname(path).endsWith('assets');
      reply.setHeader('cache-control', lasting ? 'public, max-age=31536000, immutable' : 'no-cache');
      reply.setHeader('vary', 'accept-encoding');
    },
    etag: true,
    preCompressed: true,
  });
  app.setNotFoundHandler((request, reply) => {
    reply.code(404).send({ error: 'not-here', message: `There is no ${request.url}. The page is at /.` });
  });
};
