import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, expect, it, vi } from 'vitest';
import { type Member, supervise } from '../../../host/supervise/supervise.js';

const folder = mkdtempSync(join(tmpdir(), 'elbowroom-supervise-'));
const runtime = process.execPath;
afterEach(() => {
  process.execPath = runtime;
  rmSync(folder, { recursive: true, force: true });
});

it('a process that the system cannot start at this moment is tried again until it can', async () => {
  const entry = join(folder, 'member.mjs');
  writeFileSync(entry, `process.send({ kind: 'ready', detail: {} }); setInterval(() => {}, 1000);`);
  const member: Member = { name: 'node', args: [], endsAll: false, progressWithinMs: 60_000 };
  const lines: string[] = [];
  const ready: string[] = [];
  // Simulates a computer out of processes or memory: the file to run is not to be had.
  process.execPath = join(folder, 'no-such-runtime');
  const supervision = supervise(
    entry,
    [member],
    (line) => lines.push(line),
    (name) => ready.push(name),
  );
  await vi.waitFor(() => expect(lines.join()).toContain('ENOENT'), { timeout: 20_000 });
  expect(ready).toEqual([]);
  process.execPath = runtime;
  await vi.waitFor(() => expect(ready).toEqual(['node']), { timeout: 20_000 });
  supervision.stop();
  expect(await supervision.ended).toBe(0);
  expect(lines[0]).toMatch(/node could not be started .*ENOENT.*it never came up.*again in 1 s/);
});
