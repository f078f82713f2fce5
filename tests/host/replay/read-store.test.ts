import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { historyFromStore } from '../../../host/replay/read-store.js';
import { openStore } from '../../../host/store/index.js';
import { firstEngineCards } from '../../../node/index.js';
import { card, movableClock, numbering, reading, startAt } from '../store/made-readings.js';

describe('the history of a kit whose probe ids another node has too', () => {
  const store = openStore(mkdtempSync(join(tmpdir(), 'elbowroom-replay-')), movableClock().clock);
  for (const [node, fromC] of [
    ['fore', 40],
    ['aft', 80],
  ] as const) {
    const next = numbering(node);
    const probes = [card('port-elbow')];
    store.intake.take(
      next({ kind: 'hello', boat: 'Invented', invented: true, engines: firstEngineCards, probes }),
    );
    for (let i = 0; i < 3; i++) {
      const rows = [reading('port-elbow', startAt + i * 1000, { temperatureC: fromC + i })];
      store.intake.take(next({ kind: 'readings', rate: 'second', rows }));
    }
  }
  store.intake.commit();
  const historyOf = (node: string) =>
    historyFromStore(store, ['port-elbow'], { from: 0, to: startAt + 60_000 }, [], node).probes;

  it.each([
    ['fore', [40, 41, 42]],
    ['aft', [80, 81, 82]],
  ] as const)('is that of its own node: %s', (node, readC) => {
    const probes = historyOf(node);
    expect(probes).toHaveLength(1);
    const [only] = probes;
    expect(only && 'temperatureC' in only ? [...only.temperatureC] : []).toEqual(readC);
  });

  it('is refused where the kit names neither, with the names of both', () => {
    expect(() => historyOf('engine-room')).toThrow(/nodes fore and aft.*node engine-room/);
  });
});
