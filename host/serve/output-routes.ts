import type { FastifyInstance } from 'fastify';
import type { OutputStatus } from '../live/output-status.js';

/** What leaves the host, and the state of each output. */
export type OutputsNow = { readonly outputs: readonly OutputStatus[] };

/** `GET /api/outputs`: counts since the host started. */
export const outputRoutes = (app: FastifyInstance, status: () => readonly OutputStatus[]): void => {
  app.get('/api/outputs', (): OutputsNow => ({ outputs: status() }));
};
