import type { FastifyInstance } from 'fastify';

/**
 * The Bench screen's way to the bench's control endpoint, so that the page needs no second origin.
 * Without a control port both answer 404, and the page hides the screen.
 */
export const benchRoutes = (app: FastifyInstance, controlPort: number | undefined): void => {
  const there = `http://127.0.0.1:${controlPort}`;
  const ask = async (path: string, init?: RequestInit) => {
    if (controlPort === undefined)
      return { code: 404, body: { error: 'no-bench', message: 'No bench runs behind this page.' } };
    try {
      const answer = await fetch(there + path, { ...init, signal: AbortSignal.timeout(5_000) });
      return { code: answer.status, body: (await answer.json()) as unknown };
    } catch (cause) {
      const why = cause instanceof Error ? cause.message : String(cause);
      return {
        code: 502,
        body: { error: 'bench-away', message: `The bench does not answer at ${there}: ${why}.` },
      };
    }
  };
  app.get('/api/bench/truth', async (_request, reply) => {
    const { code, body } = await ask('/truth');
    return reply.code(code).send(body);
  });
  app.post('/api/bench/do', async (request, reply) => {
    const headers = { 'content-type': 'application/json' };
    const { code, body } = await ask('/do', { method: 'POST', headers, body: JSON.stringify(request.body) });
    return reply.code(code).send(body);
  });
};
