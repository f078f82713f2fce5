import type { FastifyInstance } from 'fastify';
import type { OutputStatus } from '../live/output-status.js';

/** What leaves the host, and how each way out is doing. */
export type OutputsNow = { readonly outputs: readonly OutputStatus[] };

/** `GET /api/outputs`: counts since the host started. */
export const outputRoutes = (app: FastifyInstance, status: () => readonly OutputStatus[]): void => {
  app.get('/api/outputs', (): OutputsNow => ({ outputs: status() }));
};
