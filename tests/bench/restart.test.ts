import { mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { freePort } from '../../host/supervise/free-port.js';
import type { Now } from './house/bench-boat.js';
import { type RunningCommand, startCommand, until } from './house/running-command.js';

/** The process of this house that was started as `elbowroom NAME`, found as any Linux tool would find it. */
const processOf = (dataDir: string, name: string): number | undefined =>
  readdirSync('/proc')
    .filter((entry) => /^\d+$/.test(entry))
    .map(Number)
    .find((pid) => {
      try {
        const words = readFileSync(`/proc/${pid}/cmdline`, 'utf8').split('\0');
        return words[2] === name && words.some((word) => word.startsWith(dataDir));
      } catch {
        return false;
      }
    });

describe('elbowroom bench keeps its processes running', () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'elbowroom-restart-'));
  let pagePort = 0;
  let bench: RunningCommand;
  const now = async (): Promise<Now> =>
    (await fetch(`http://127.0.0.1:${pagePort}/api/now`)).json() as Promise<Now>;
  const untilLive = (what: string) =>
    until(what, async () => {
      const seen = await now();
      return seen.probes.length > 0 && seen.probes.every((p) => p.quality === 'good');
    });

  beforeAll(async () => {
    const controlPort = await freePort();
    pagePort = await freePort();
    const ports = ['--page-port', `${pagePort}`, '--control-port', `${controlPort}`];
    bench = startCommand('bench', ...ports, '--data-dir', dataDir, '--no-season');
    await untilLive('live readings').catch((error) => {
      throw new Error(`${error.message}\n${bench.said()}`);
    });
  });
  afterAll(async () => {
    await bench.kill('SIGKILL');
    rmSync(dataDir, { recursive: true, force: true });
  });

  it.each(['node', 'host'])('%s killed outright comes back by itself with live readings', async (name) => {
    const before = processOf(dataDir, name);
    expect(before).toBeDefined();
    process.kill(before as number, 'SIGKILL');
    const after = await until('another process', () => {
      const pid = processOf(dataDir, name);
      return pid !== before && pid;
    });
    expect(after).not.toBe(before);
    await untilLive(`live readings after ${name} was killed`);
    expect(bench.said()).toMatch(new RegExp(`${name} ended by SIGKILL; starting it again`));
  });

  it('asked to stop, it ends with 0 and leaves no process behind', async () => {
    bench.child.kill('SIGTERM');
    expect(await bench.ended).toBe(0);
    await until('no process left', () =>
      ['bench-board', 'node', 'host'].every((name) => processOf(dataDir, name) === undefined),
    );
  });
});
