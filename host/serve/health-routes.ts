import { dirname } from 'node:path';
import type { FastifyInstance } from 'fastify';
import type { Certificate } from '../../calibration/index.js';
import { type Clock, loadKit } from '../../node/index.js';
import { certificatesInForce } from '../calibrate/certificate-files.js';
import { type CalibrationDue, calibrationDue } from '../engine-health/calibration-due.js';
import { healthOf } from '../engine-health/health.js';
import { isThermometer } from '../live/is-thermometer.js';
import type { LiveSource } from '../live/live-source.js';
import type { Store } from '../store/index.js';
import { keptFor } from './kept-for.js';
import { RefusedError } from './refused-error.js';

type Options = {
  readonly store: Store;
  readonly live: Pick<LiveSource, 'nodes'>;
  readonly clock: Clock;
  /** Where the kit is, its certificates beside it. */
  readonly kitPath: string | undefined;
  readonly calibrateEveryDays: number | undefined;
};

const dayMs = 86_400_000;
const mostDays = 400;
/** Half a year shows a drift, and is what the Health screen asks for first. */
const driftDays = 180;
/** Weeks of history change slowly; two tablets need not compute them twice. */
const keptForMs = 120_000;

/**
 * `GET /api/health?days=180`: baselines, effectiveness, twin balance and cold soaks.
 * `GET /api/calibration-due`: for each thermometer when, and why then.
 */
export const healthRoutes = (
  app: FastifyInstance,
  { store, live, clock, kitPath, calibrateEveryDays }: Options,
): void => {
  const healthFor = keptFor(keptForMs, clock, (days: number, nowMs) =>
    healthOf(store, nowMs - days * dayMs, nowMs),
  );

  app.get<{ Querystring: { days?: string } }>('/api/health', (request) => {
    const days = Number(request.query.days ?? driftDays);
    if (days >= 1 && days <= mostDays) return healthFor(Math.round(days));
    throw new RefusedError(400, 'bad-request', `days must be from 1 to ${mostDays}.`);
  });

  app.get('/api/calibration-due', async (): Promise<readonly CalibrationDue[]> => {
    const { coldSoaks } = await healthFor(driftDays);
    const certificates = kitPath === undefined ? {} : await certificatesOf(kitPath);
    // A pressure is zeroed at every stop, and a speed has no certificate.
    return live.nodes().flatMap(({ probes, latest }) =>
      probes.filter(isThermometer).map(({ id, name }) => {
        const certificateInUse = latest.find((row) => row.probe === id)?.certificate;
        return calibrationDue(
          { id, name, certificateInUse },
          certificates[id],
          coldSoaks,
          calibrateEveryDays,
        );
      }),
    );
  });
};

/** What the kit names and can be read; the node and Set-up report the rest. */
const certificatesOf = async (kitPath: string): Promise<Readonly<Record<string, Certificate>>> => {
  try {
    return await certificatesInForce(loadKit(kitPath).probes, dirname(kitPath));
  } catch {
    // A kit that cannot be read just now: no date is better than a wrong one.
    return {};
  }
};
