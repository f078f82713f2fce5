import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { holdDataFolder, holderOf } from '../../../host/supervise/data-folder.js';

const folder = mkdtempSync(join(tmpdir(), 'elbowroom-in-use-'));
const children: ChildProcess[] = [];
afterAll(() => {
  for (const child of children) child.kill('SIGKILL');
  rmSync(folder, { recursive: true, force: true });
});

/** Another process that holds the folder until it is killed. */
const holder = async (dataDir: string): Promise<ChildProcess> => {
  const script = join(folder, 'hold.mts');
  const here = new URL('../../../host/supervise/data-folder.ts', import.meta.url);
  writeFileSync(
    script,
    `import { holdDataFolder } from ${JSON.stringify(here.href)};
     await holdDataFolder(process.argv[2]); process.send('held'); setInterval(() => undefined, 1000);`,
  );
  const child = fork(script, [dataDir], { execArgv: ['--import', 'tsx'] });
  children.push(child);
  await once(child, 'message');
  return child;
};

describe('a data folder', () => {
  it('is held by one process, which is named to the next, and is free once that was killed outright', async () => {
    const dataDir = join(folder, 'boat');
    const first = await holder(dataDir);
    await expect(holdDataFolder(dataDir)).rejects.toThrow(
      new RegExp(`boat is in use by process ${first.pid}, started \\d{4}-\\d\\d-\\d\\dT.*--data-dir`),
    );
    await expect(holdDataFolder(dataDir)).rejects.toMatchObject({ errorCategory: 'unavailable' });
    first.kill('SIGKILL');
    await once(first, 'exit');
    const second = await holder(dataDir);
    await expect(holdDataFolder(dataDir)).rejects.toThrow(`process ${second.pid}`);
  });

  it('left by a killed process is held by one of several that start at once, and by it alone', async () => {
    const dataDir = join(folder, 'at-once');
    const dead = await holder(dataDir);
    dead.kill('SIGKILL');
    await once(dead, 'exit');
    const starts = await Promise.allSettled([1, 2, 3].map(() => holdDataFolder(dataDir)));
    expect(starts.map(({ status }) => status).sort()).toEqual(['fulfilled', 'rejected', 'rejected']);
    expect(await holderOf(dataDir)).toMatch(`process ${process.pid}`);
    await expect(holdDataFolder(dataDir)).rejects.toThrow(`process ${process.pid}`);
    expect(readdirSync(dataDir)).toEqual(['in-use']);
  });

  it('whose holder is stopped and answers nothing is held all the same', async () => {
    const dataDir = join(folder, 'hung');
    const child = await holder(dataDir);
    child.kill('SIGSTOP');
    await expect(holdDataFolder(dataDir)).rejects.toThrow('in use by another elbowroom');
    child.kill('SIGCONT');
  });

  it('with a path longer than a socket may have is held too', async () => {
    const dataDir = join(folder, 'a-long-name-'.repeat(10));
    await holder(dataDir);
    await expect(holdDataFolder(dataDir)).rejects.toThrow('in use by process');
  });

  it('that cannot be made holds nothing up: the process that needs it says why', async () => {
    writeFileSync(join(folder, 'a-file'), '');
    await expect(holdDataFolder(join(folder, 'a-file', 'inside'))).resolves.toBeTypeOf('function');
  });
});
