import { statfsSync } from 'node:fs';
import { systemClock } from '../../node/index.js';
import type { CalibrationDue } from '../engine-health/calibration-due.js';
import type { OutputStatus } from '../live/output-status.js';
import type { Now } from '../serve/now.js';
import { openStoreToRead } from '../store/index.js';
import type { ActiveAlert, Status } from './status.js';

const answerWithinMs = 2_000;

/** What the page of a host on this computer says. */
export type HostAnswers = {
  readonly page: Status['host']['page'];
  readonly alerts: readonly ActiveAlert[];
  readonly silent: readonly string[];
  readonly outputs?: readonly OutputStatus[];
  readonly due?: readonly CalibrationDue[];
};

/** Asks the page at `url`, with a program's token where it needs one. */
export const askHost = async (url: string, token?: string): Promise<HostAnswers> => {
  const get = async <T>(path: string): Promise<T | number> => {
    try {
      const answer = await fetch(new URL(path, url), {
        headers: token === undefined ? {} : { authorization: `Bearer ${token}` },
        signal: AbortSignal.timeout(answerWithinMs),
      });
      return answer.ok ? ((await answer.json()) as T) : answer.status;
    } catch {
      return 0;
    }
  };
  const now = await get<Now>('/api/now');
  if (typeof now === 'number')
    return { page: now === 401 || now === 403 ? 'asks-for-login' : 'away', alerts: [], silent: [] };
  const outputs = await get<{ outputs: readonly OutputStatus[] }>('/api/outputs');
  const due = await get<readonly CalibrationDue[]>('/api/calibration-due');
  return {
    page: 'answers',
    // Those of the nodes come from the nodes themselves.
    alerts: now.alerts.filter(({ node }) => !now.nodes.some((n) => n.node === node && n.board !== undefined)),
    silent: now.nodes.filter(({ connected }) => !connected).map(({ node }) => node),
    ...(typeof outputs !== 'number' && { outputs: outputs.outputs }),
    ...(typeof due !== 'number' && { due }),
  };
};

/** Room left where the store is, and what it takes; empty where the folder is not there. */
export const lookAtDisk = (hostFolder: string): Pick<Status, 'disk' | 'lastStoredAt'> => {
  let freeBytes: number;
  try {
    const { bavail, bsize } = statfsSync(hostFolder);
    freeBytes = bavail * bsize;
  } catch {
    return {};
  }
  try {
    const store = openStoreToRead(hostFolder, systemClock);
    try {
      const lastStoredAt = Math.max(0, ...store.lastReadings().map(({ row }) => row.at));
      return {
        disk: { freeBytes, storeBytes: store.about().bytes },
        ...(lastStoredAt > 0 && { lastStoredAt }),
      };
    } finally {
      store.close();
    }
  } catch {
    return { disk: { freeBytes } };
  }
};
