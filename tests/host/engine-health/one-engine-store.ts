import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach } from 'vitest';
import { openStore, type Store } from '../../../host/store/index.js';
import type { EngineCard } from '../../../node/index.js';
import { type card, movableClock, numbering } from '../store/made-readings.js';

export let store: Store;
let folder: string;

/** A new, empty store that knows one engine and its probes. */
export const openNewStore = (engine: EngineCard, probes: readonly ReturnType<typeof card>[]): void => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-one-engine-'));
  store = openStore(folder, movableClock().clock);
  store.intake.take(
    numbering()({ kind: 'hello', boat: 'Invented', invented: true, engines: [engine], probes }),
  );
  store.intake.commit();
};
export const closeStore = (): void => {
  store.close();
  rmSync(folder, { recursive: true, force: true });
};

/** Such a store for each test of the file that calls this. */
export const withStore = (...boat: Parameters<typeof openNewStore>): void => {
  beforeEach(() => openNewStore(...boat));
  afterEach(closeStore);
};
