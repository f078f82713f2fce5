import Fastify, { type FastifyInstance } from 'fastify';
import { prettifyError, ZodError } from 'zod';
import { isBadRequest } from './calibrate-routes.js';
import { PageError } from './page-error.js';
import { RefusedError } from './refused-error.js';

/** From the first byte to the last of a request, which is 64 kB at most: slow ones must not pile up. */
const requestWithinMs = 8_000;
const waits = { headersTimeout: 5_000, connectionsCheckingInterval: 1_000 } as const;
/** Pages, programs and what a browser opens beside; a further one waits until another closes. */
export const mostConnections = 300;

/** An empty server with its limits. Throws `PageError` for a certificate that cannot be used. */
export const makeApp = (
  tls: { readonly cert: string; readonly key: string } | undefined,
): FastifyInstance => {
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

export const cannotListen = (cause: unknown, address: string, port: number): PageError => {
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

/** Errors as JSON with a message for the person, and no answer of the interface kept by a cache. */
export const setErrorHandler = (app: FastifyInstance): void => {
  app.addHook('onSend', async (request, reply) => {
    if (request.url.startsWith('/api/')) reply.header('cache-control', 'no-store');
  });
  app.setErrorHandler((error: Error & { statusCode?: number }, _request, reply) => {
    if (error instanceof RefusedError)
      return reply.code(error.statusCode).send({ error: error.code, message: error.message });
    const code = isBadRequest(error)
      ? 400
      : error.statusCode && error.statusCode < 500
        ? error.statusCode
        : 500;
    const message = error instanceof ZodError ? prettifyError(error) : error.message;
    reply.code(code).send({ error: code < 500 ? 'bad-request' : 'failed', message });
  });
};
