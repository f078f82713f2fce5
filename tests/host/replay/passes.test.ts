import { createReadStream, mkdtempSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { passes } from '../../../host/replay/passes.js';
import { readImport } from '../../../host/replay/read-import.js';

const startAt = Date.parse('2026-05-01T08:00:00Z');

const historyOf = async (rows: readonly (readonly [number, string, number])[]) => {
  const path = join(mkdtempSync(join(tmpdir(), 'elbowroom-passes-')), 'log.csv');
  const lines = rows.map(([s, probe, c]) => `${Math.round(startAt + s * 1000)},${probe},${c}`);
  writeFileSync(path, ['time,probe,temperatureC', ...lines].join('\n'));
  const { history } = await readImport(createReadStream(path), ['elbow', 'gas'], ['port'], {
    from: 0,
    to: 9e15,
  });
  return history;
};

describe('passes of recorded history', () => {
  it.each([1, 5, 10])('sweeps of two probes at %i Hz are one pass each, as on the node', async (hz) => {
    const sweeps = 50;
    const history = await historyOf(
      Array.from({ length: sweeps }, (_, i) => i / hz).flatMap((s) => [
        [s, 'elbow', 40] as const,
        [s + 0.02, 'gas', 300] as const,
      ]),
    );
    const all = [...passes(history)];
    expect(all.length).toBe(sweeps);
    expect(all.every(({ readings }) => readings.length === 2)).toBe(true);
  });

  it('a running input that is logged only when it changes runs until its next row, and the last level to the end', async () => {
    const history = await historyOf([
      [0, 'elbow', 20],
      [1, 'running-port', 1],
      ...Array.from({ length: 60 }, (_, i) => [2 + i, 'elbow', 40] as const),
    ]);
    const running = [...passes(history)].map((pass) => pass.running.port);
    expect(running[0]).toBe(false);
    expect(running.slice(1).every((level) => level === true)).toBe(true);
    expect(running.length).toBe(61);
  });
});
