import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Fastify, { type FastifyInstance } from 'fastify';
import { afterEach, beforeEach } from 'vitest';
import type { DeskState } from '../../../host/calibrate/desk.js';
import { KitKeeper } from '../../../host/kit-file/kit-keeper.js';
import type { LiveSource } from '../../../host/live/live-source.js';
import { calibrateRoutes, isBadRequest } from '../../../host/serve/calibrate-routes.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { type ReadingRow, systemClock } from '../../../node/index.js';

export let folder: string;
export let kitPath: string;
export let app: FastifyInstance;
export let send: (rows: readonly Partial<ReadingRow>[], node?: string) => void;
let nodes: readonly string[] = [];
/** The nodes that this host knows. */
export const knowNodes = (...names: readonly string[]): void => {
  nodes = names;
};
/** Seconds that the desk believes have passed. */
let atS = 0;

/** For the file that calls this: the routes over a kit in a folder of its own, new before each test, and readings by hand. */
export const withCalibrateRoutes = (): void => {
  beforeEach(async () => {
    folder = mkdtempSync(join(tmpdir(), 'elbowroom-calibrate-routes-'));
    kitPath = join(folder, 'kit.yaml');
    mkdirSync(join(folder, 'certificates'));
    writeFileSync(kitPath, benchKitYaml);
    app = Fastify();
    app.setErrorHandler((error: Error, _, reply) =>
      reply.code(isBadRequest(error) ? 400 : 500).send({ message: error.message }),
    );
    atS = 0;
    nodes = ['engine-room'];
    const clock = {
      ...systemClock,
      monotonicMs: () => atS * 1000,
      wallMs: () => Date.UTC(2026, 7, 1),
    } as typeof systemClock;
    const live = {
      on: (listener: (node: string, message: unknown) => void) => {
        send = (rows, node = 'engine-room') => listener(node, { kind: 'readings', rate: 'second', rows });
        return () => undefined;
      },
      nodes: () => nodes.map((node) => ({ node })),
    } as unknown as LiveSource;
    const keeper = new KitKeeper({ kitPath, clock });
    await app.register(async (room) => void (await calibrateRoutes(room, { keeper, live, clock })));
  });
  afterEach(async () => {
    await app.close();
    rmSync(folder, { recursive: true, force: true });
  });
};

export const post = async (path: string, payload: object = {}) => {
  const answer = await app.inject({ method: 'POST', url: `/api/calibration/${path}`, payload });
  return { code: answer.statusCode, ...(answer.json() as DeskState & { message?: string }) };
};
export const start = () =>
  post('start', { probes: ['port-elbow'], settling: { holdS: 45, trendCPerMin: 0.15 } });
/** A probe that stays the same for a minute at this many ohms; the desk takes the bath by itself. */
export const hold = (ohms: number, node?: string, forS = 60) => {
  for (let second = 0; second < forS; second++) {
    atS++;
    const raw = ohms * (1 + 2e-4 * ((atS % 3) - 1));
    send([{ probe: 'port-elbow' as ReadingRow['probe'], quality: 'good', raw, rawUnit: 'ohm' }], node);
  }
};

/** The baths that the first probe has a point of. */
export const takenBaths = async (): Promise<readonly string[]> =>
  ((await app.inject('/api/calibration')).json() as DeskState).probes[0]?.points.map(({ bath }) => bath) ??
  [];
