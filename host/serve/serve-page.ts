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
import { calibrateRoutes } from './calibrate-routes.js';
import { eventRoutes } from './event-routes.js';
import { healthRoutes } from './health-routes.js';
import { historyRoutes } from './history-routes.js';
import { kitRoutes } from './kit-routes.js';
import { metricsRoutes } from './metrics-routes.js';
import { type Now, nowDocument } from './now.js';
import { outputRoutes } from './output-routes.js';
import { cannotListen, makeApp, mostConnections, setErrorHandler } from './page-app.js';
import { isLoopbackAddress, refuseOpenPage } from './page-error.js';
import { servePageFiles } from './page-files.js';
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
  /** Who may sign in at this moment; needed to listen wider than loopback. */
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

/** Serves the page and its interface. Throws `PageError` when the port is taken. */
export const servePage = async (options: PageOptions): Promise<ServedPage> => {
  const { live, clock, port, address = '127.0.0.1', access = () => undefined, tls } = options;
  const loopback = isLoopbackAddress(address);
  refuseOpenPage(address, access());
  const app = makeApp(tls);
  app.server.maxConnections = mostConnections;
  const recent = new Recent();
  const kitNode = options.kitPath === undefined ? undefined : nodeOfKit(options.kitPath);
  const now = (): Now => ({
    ...nowDocument(live.nodes(), recent, clock.wallMs(), options.degrees),
    ...(kitNode !== undefined && { kitNode }),
  });

  setErrorHandler(app);
  await securityHeaders(app, tls !== undefined);
  const mayListen = gate(app, {
    access,
    loopback,
    secure: tls !== undefined,
    bench: options.controlPort !== undefined,
    clock,
  });
  const stopEvents = eventRoutes(app, { live, now, recent, mayListen });
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

  const close = async () => {
    stopCalibration?.();
    stopEvents();
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
