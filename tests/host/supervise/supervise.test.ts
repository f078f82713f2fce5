import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, expect, it, vi } from 'vitest';
import { type Member, supervise } from '../../../host/supervise/supervise.js';

const folder = mkdtempSync(join(tmpdir(), 'elbowroom-supervise-'));
const runtime = process.execPath;
afterEach(() => {
  process.execPath = runtime;
});
afterAll(() => rmSync(folder, { recursive: true, force: true }));

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

it('a process with a rejection that nothing handles ends, and is started again at once', async () => {
  const entry = join(folder, 'rejects.mjs');
  const once = join(folder, 'rejected');
  writeFileSync(
    entry,
    `import { existsSync, writeFileSync } from 'node:fs';
     process.send({ kind: 'ready', detail: {} });
     setInterval(() => {}, 1000);
     if (!existsSync('${once}')) {
       writeFileSync('${once}', '');
       void Promise.reject(new Error('made for the test'));
     }`,
  );
  const member: Member = { name: 'host', args: [], endsAll: false, progressWithinMs: 60_000 };
  const lines: string[] = [];
  let ready = 0;
  const supervision = supervise(
    entry,
    [member],
    (line) => lines.push(line),
    () => ready++,
  );
  await vi.waitFor(() => expect(ready).toBe(2), { timeout: 20_000 });
  supervision.stop();
  expect(await supervision.ended).toBe(0);
  expect(lines[0]).toBe('host ended with exit code 1; starting it again.');
});
