import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { benchKitYaml } from '../../../node/bench/index.js';

/** Runs calibrate on a real terminal (script of util-linux makes one), answers its questions and gives the end. */
async function atTheTerminal(folder: string, keys: readonly (readonly [RegExp, string])[]) {
  const kit = join(folder, 'kit.yaml');
  const command = `${process.execPath} --import tsx host/cli/main.ts calibrate --kit ${kit}`;
  const child = spawn('script', ['-qec', command, '/dev/null'], { stdio: ['pipe', 'pipe', 'inherit'] });
  const waiting = [...keys];
  let screen = '';
  child.stdout.on('data', (chunk: Buffer) => {
    screen += chunk.toString();
    const next = waiting[0];
    if (next?.[0].test(screen)) {
      waiting.shift();
      child.stdin.write(next[1]);
    }
  });
  const [exitCode] = (await once(child, 'exit')) as [number];
  return { exitCode, screen };
}

it('Ctrl-D and Ctrl-C at any question of calibrate end with 130, a sentence and no stack', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-interrupted-'));
  try {
    writeFileSync(join(folder, 'kit.yaml'), benchKitYaml);
    for (const keys of [
      [[/Altitude.*: /, '\x04']],
      [
        [/Altitude.*: /, '3\r'],
        [/NOT set to sea level.*: /, '\x03'],
      ],
    ] as const) {
      const { exitCode, screen } = await atTheTerminal(folder, keys);
      expect(exitCode).toBe(130);
      expect(screen).toContain('Stopped at a question; nothing was changed.');
      expect(screen).not.toMatch(/ at .*:\d+:\d+|Error/);
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}, 90_000);
