import { existsSync } from 'node:fs';
import { dirname } from 'node:path';
import { fileURLToPath } from 'node:url';
import fastifyStatic from '@fastify/static';
import type { FastifyInstance } from 'fastify';

/** `dist/page` seen from the bundled file, from the compiled one and from the source. */
const builtPage = ['../page/', '../../page/', '../../dist/page/']
  .map((path) => fileURLToPath(new URL(path, import.meta.url)))
  .find((path) => existsSync(`${path}index.html`) && existsSync(`${path}assets`));

/** The built page at `/`, or what to do where it was not built. */
export const servePageFiles = async (app: FastifyInstance): Promise<void> => {
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
