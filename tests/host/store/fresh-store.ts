import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import { beforeEach } from 'vitest';
import { openStore, type Store } from '../../../host/store/index.js';
import { firstEngineCards } from '../../../node/index.js';
import type { NodeMessage } from '../../../node/link/messages.js';
import { card, movableClock, numbering, startAt } from './made-readings.js';

export let store: Store;
export let time: ReturnType<typeof movableClock>;
export let next: ReturnType<typeof numbering>;

/** For the file that calls this: new before each test, a store that knows one invented boat, its clock, and numbered messages. */
export const withFreshStore = (): void => {
  beforeEach(() => {
    time = movableClock();
    store = openStore(mkdtempSync(join(tmpdir(), 'elbowroom-logs-')), time.clock);
    next = numbering();
    const probes = [card('port-elbow'), card('port-exhaust', 'port', 'dry-exhaust')];
    store.intake.take(
      next({ kind: 'hello', boat: 'Invented', invented: true, engines: firstEngineCards, probes }),
    );
    return () => store.close();
  });
};

/** Closes the store and opens it again, as a host that is started again does. */
export const reopenStore = (): void => {
  const folder = dirname(store.about().path);
  store.close();
  store = openStore(folder, time.clock);
};

export const status = (second: number, port: boolean | undefined): NodeMessage => ({
  kind: 'status',
  at: startAt + second * 1000,
  board: 'connected',
  boardDetail: '',
  running: port === undefined ? {} : { port },
  counters: { framesLost: 0, boardRefused: 0, boardReconnects: 0, passes: 0 },
});

export const span = { from: startAt, to: startAt + 86_400_000 };
