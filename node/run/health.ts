import { createServer } from 'node:http';
import { NodeError } from '../errors/node-error.js';
import { listenOn, parseListenAddress } from '../link/listen-on.js';
import { keepTrying } from './keep-trying.js';
import type { NoticeBoard } from './notice-board.js';

export type Health = {
  /** Passes are being made. */
  readonly alive: boolean;
  /** The last pass was complete: the board answers and every input gave a reading lately. */
  readonly ready: boolean;
  readonly [more: string]: unknown;
};

/** A pass older than this means that the loop hangs; ten passes of the slowest kit fit in it. */
export const aliveWithinMs = 2_000;

const mostConnections = 16;
/** A connection that sends nothing is closed after this, ms. */
const limits = {
  headersTimeout: 2_000,
  requestTimeout: 2_000,
  keepAliveTimeout: 1_000,
  connectionsCheckingInterval: 500,
};

/**
 * Serves the node's health for a supervisor: `GET /health` answers 200 when ready and 503 when not, `GET /alive` when
 * passes are being made. Gives the port taken. Throws `NodeError` when the port is unavailable.
 */
export const serveHealth = async (
  address: string,
  look: () => Health,
): Promise<{ port: number; close: () => Promise<void> }> => {
  const wanted = parseListenAddress(address);
  const server = createServer(limits, (request, response) => {
    const health = look();
    const well =
      request.url === '/health' ? health.ready : request.url === '/alive' ? health.alive : undefined;
    response.writeHead(well === undefined ? 404 : well ? 200 : 503, { 'content-type': 'application/json' });
    response.end(`${JSON.stringify(well === undefined ? { paths: ['/health', '/alive'] } : health)}\n`);
  });
  // Connections that are left open must not use up the file handles that board and link need.
  server.maxConnections = mostConnections;
  const port = await listenOn(
    server,
    wanted,
    (cause) =>
      new NodeError(
        'health-could-not-open',
        `The health page cannot listen on ${address}: ${cause.message}. Choose another with --health HOST:PORT.`,
        { cause },
      ),
  );
  return {
    port,
    close: () =>
      new Promise((done) => {
        server.close(() => done());
        server.closeAllConnections();
      }),
  };
};

/** Serves the health as soon as its port is free; until then a notice says so. */
export const openHealth = (address: string | undefined, look: () => Health, notices: NoticeBoard) => {
  let served: Awaited<ReturnType<typeof serveHealth>> | undefined;
  const trying =
    address === undefined
      ? undefined
      : keepTrying(
          async () => {
            served = await serveHealth(address, look);
            notices.clear('health');
          },
          ({ message }) =>
            notices.post({
              about: 'health',
              message: `${message} The node tries again until it works.`,
              actions: ['The guard and its buzzer work all the same.'],
            }),
        );
  return {
    triedOnce: trying?.triedOnce,
    port: () => served?.port,
    close: async () => {
      trying?.stop();
      await served?.close();
    },
  };
};
