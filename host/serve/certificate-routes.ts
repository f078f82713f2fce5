import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { FastifyInstance } from 'fastify';
import { RefusedError } from './refused-error.js';

const nameShape = /^[a-z][a-z0-9-]{0,39}@\d{1,5}$/;

/** The certificates beside the kit: their names, and each as text or as a picture. */
export const certificateRoutes = async (app: FastifyInstance, folder: string): Promise<void> => {
  app.get('/api/certificates', () => {
    try {
      return readdirSync(folder)
        .filter((name) => name.endsWith('.json'))
        .map((name) => name.slice(0, -'.json'.length))
        .filter((name) => nameShape.test(name))
        .sort();
    } catch {
      return [];
    }
  });
  app.get<{ Params: { name: string; form: string } }>('/api/certificates/:name/:form', (request, reply) => {
    const { name, form } = request.params;
    const type = form === 'text' ? 'txt' : form === 'picture' ? 'svg' : undefined;
    if (!type || !nameShape.test(name))
      throw new RefusedError(404, 'no-certificate', `There is no certificate ${name} as ${form}.`);
    try {
      const body = readFileSync(join(folder, `${name}.${type}`), 'utf8');
      return reply.type(type === 'svg' ? 'image/svg+xml' : 'text/plain; charset=utf-8').send(body);
    } catch {
      throw new RefusedError(404, 'no-certificate', `There is no certificate ${name} in ${folder}.`);
    }
  });
};
