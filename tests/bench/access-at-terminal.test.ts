import { spawn } from 'node:child_process';
import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { readAccess } from '../../host/serve/access/access-file.js';
import { passPhraseMatches } from '../../host/serve/access/secrets.js';
import { PageError } from '../../host/serve/page-error.js';
import { until } from './house/running-command.js';
import { PageHouse } from './page/page-house.js';

describe('a pass-phrase typed at a real terminal', () => {
  const boatData = mkdtempSync(join(tmpdir(), 'elbowroom-access-'));
  /** The host's part of the boat's data folder, where the pass-phrases are kept. */
  const dataDir = join(boatData, 'host');
  afterAll(() => rmSync(boatData, { recursive: true, force: true }));

  /**
   * Runs the command on a pseudo-terminal, types each answer when it is asked for, and gives its exit code and what the
   * screen showed. A shell waits behind it until all has been seen: once its child fails, socat drops what it has not read.
   */
  const type = async (...answers: string[]) => {
    const script = join(boatData, 'type');
    writeFileSync(
      script,
      `${process.execPath} dist/host/cli/elbowroom.js access --data-dir ${boatData}\necho "exit code $?"\nread _\n`,
    );
    const terminal = spawn('socat', ['STDIO', `EXEC:sh ${script},pty,ctty,setsid,stderr`]);
    let screen = '';
    for (const stream of [terminal.stdout, terminal.stderr])
      stream.on('data', (chunk) => {
        screen += chunk;
      });
    const ended = new Promise((done) => terminal.on('close', done));
    for (const [index, answer] of answers.entries()) {
      await until(`question ${index + 1}`, () => (screen.match(/: /g) ?? []).length > index);
      terminal.stdin.write(`${answer}\r`);
    }
    const code = await until('its end', () => /exit code (\d+)/.exec(screen)?.[1]);
    terminal.stdin.write('\r');
    await ended;
    return { screen, code: Number(code) };
  };

  it('is not echoed, and two that differ change nothing', async () => {
    const { screen, code } = await type('kittiwake over the bar', 'kittiwake over the car');
    expect(screen).toMatch(
      /Pass-phrase to act \(not shown\): \s+The same again: \s+.*differ; nothing was changed/s,
    );
    expect(screen).not.toMatch(/kittiwake/);
    expect(code).toBe(2);
    expect(readAccess(dataDir)).toBe(undefined);
  });

  it('typed twice the same it is kept as a hash, and is nowhere on disk in clear', async () => {
    const { screen, code } = await type('kittiwake over the bar', 'kittiwake over the bar');
    expect(screen).toMatch(/The pass-phrase to act is set/);
    expect(screen).not.toMatch(/kittiwake/);
    expect(code).toBe(0);
    const hash = readAccess(dataDir)?.passPhrases.act ?? '';
    expect(hash).toMatch(/^scrypt\$/);
    expect(await passPhraseMatches('kittiwake over the bar', hash)).toBe(true);
    for (const file of readdirSync(dataDir))
      expect(readFileSync(join(dataDir, file), 'utf8')).not.toMatch(/kittiwake/);
  });
});

describe('listening wider than loopback', () => {
  it('is refused without a pass-phrase, in words that say what to do', async () => {
    const house = await PageHouse.open({ node: false });
    await house.stopHost();
    const start = house.startHost({ pageListen: '0.0.0.0' });
    await expect(start).rejects.toThrow(PageError);
    await expect(start).rejects.toThrow(/Set one first: elbowroom access/);
    await house.close();
  });
});
