import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { joined, voyagesOf } from '../../../host/report/voyages.js';
import { openStore } from '../../../host/store/index.js';
import { firstEngineCards } from '../../../node/index.js';
import { movableClock, numbering, reading, startAt } from '../store/made-readings.js';
import { portElbow } from './port-elbow.js';

const minute = 60_000;
const hour = 60 * minute;
describe('voyages', () => {
  it('join what lies within three hours, whatever the order', () => {
    const spans = [
      { from: 10 * hour, to: 11 * hour },
      { from: 0, to: hour },
      { from: 3 * hour, to: 4 * hour },
      { from: 0.5 * hour, to: 2 * hour },
    ];
    expect(joined(spans, 3 * hour)).toEqual([
      { from: 0, to: 4 * hour },
      { from: 10 * hour, to: 11 * hour },
    ]);
  });

  it('come from the hours with readings when no engine has a running input', () => {
    const folder = mkdtempSync(join(tmpdir(), 'elbowroom-voyages-'));
    const store = openStore(folder, movableClock().clock);
    const next = numbering();
    store.intake.take(
      next({ kind: 'hello', boat: 'b', invented: true, engines: firstEngineCards, probes: [portElbow] }),
    );
    for (const at of [startAt, startAt + hour, startAt + 24 * hour])
      store.intake.take(next({ kind: 'readings', rate: 'second', rows: [reading('port-elbow', at)] }));
    store.intake.commit();
    const margin = 5 * minute;
    expect(voyagesOf(store, { from: startAt - hour, to: startAt + 48 * hour }, startAt + 48 * hour)).toEqual([
      { from: startAt - margin, to: startAt + 2 * hour + margin },
      { from: startAt + 24 * hour - margin, to: startAt + 25 * hour + margin },
    ]);
    // Half an hour into the second one: it ends now, and a third, stored by a clock that was ahead, is not there yet.
    const nowMs = startAt + 24.5 * hour;
    store.bulk.runSpans([
      { node: 'n', engine: 'main', startAt, endAt: startAt + hour },
      { node: 'n', engine: 'main', startAt: startAt + 24 * hour, endAt: startAt + 25 * hour },
      { node: 'n', engine: 'main', startAt: startAt + 40 * hour, endAt: startAt + 41 * hour },
    ]);
    expect(voyagesOf(store, { from: startAt - hour, to: startAt + 48 * hour }, nowMs)).toEqual([
      { from: startAt - margin, to: startAt + hour + margin },
      { from: startAt + 24 * hour - margin, to: nowMs },
    ]);
    store.close();
    rmSync(folder, { recursive: true, force: true });
  });
});
