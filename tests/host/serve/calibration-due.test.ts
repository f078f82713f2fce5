import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Fastify from 'fastify';
import { expect, it } from 'vitest';
import type { NodeNow } from '../../../host/live/live-source.js';
import { healthRoutes } from '../../../host/serve/health-routes.js';
import { setErrorHandler } from '../../../host/serve/page-app.js';
import { openStore } from '../../../host/store/index.js';
import { firstEngineCards } from '../../../node/index.js';
import { systemClock } from '../../../node/time/clock.js';

it('only thermometers are asked to be calibrated: a pump’s pressure and a speed have nothing that is due', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-due-'));
  const store = openStore(folder, systemClock);
  const card = (id: string, place: string, quantity?: 'temperature' | 'pressure' | 'speed') => ({
    ...{ id, name: id, engine: 'port', place, mounting: 'free', limits: {} },
    ...(quantity && { quantity }),
  });
  const node: NodeNow = {
    node: 'engine-room',
    connected: true,
    invented: true,
    engines: firstEngineCards,
    probes: [
      card('elbow', 'wet-elbow', 'temperature'),
      card('of-an-older-node', 'wet-elbow'),
      card('pump', 'raw-water-pressure', 'pressure'),
      card('speed', 'engine-speed', 'speed'),
    ],
    latest: [],
    ageMs: {},
    alerts: [],
    sequenceGaps: 0,
  };
  const app = Fastify();
  setErrorHandler(app);
  try {
    healthRoutes(app, {
      store,
      live: { nodes: () => [node] },
      clock: systemClock,
      kitPath: undefined,
      calibrateEveryDays: undefined,
    });
    const answer = await app.inject('/api/calibration-due');
    expect(answer.json()).toEqual(
      ['elbow', 'of-an-older-node'].map((probe) => ({ probe, name: probe, why: 'never' })),
    );
  } finally {
    await app.close();
    store.close();
    rmSync(folder, { recursive: true });
  }
});
