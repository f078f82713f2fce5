import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { parse } from 'yaml';
import { answersSchema } from '../../../host/plan/answers.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { parseKit } from '../../../node/kit/load-kit.js';

/** Runs a command on a real terminal (script of util-linux makes one), answers its questions and gives the end. */
async function atTheTerminal(typed: string, keys: readonly (readonly [RegExp, string])[]) {
  const command = `${process.execPath} --import tsx host/cli/main.ts ${typed}`;
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
  const [exitCode] = (await once(child, 'close')) as [number];
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
      const { exitCode, screen } = await atTheTerminal(`calibrate --kit ${join(folder, 'kit.yaml')}`, keys);
      expect(exitCode).toBe(130);
      expect(screen).toContain('Stopped at a question; nothing was changed.');
      expect(screen).not.toMatch(/ at .*:\d+:\d+|Error/);
    }
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});

it('plan at a terminal ends with an offer to write, and keeps the answers beside the kit', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-planned-'));
  try {
    const out = join(folder, 'kit');
    const { exitCode, screen } = await atTheTerminal('plan', [
      [/Name of the boat.*: /, 'Trial boat\r'],
      [/Engines, one to four.*: /, 'main\r'],
      [/Board.*: /, '\r'],
      [/Wet elbow probe.*: /, '\r'],
      [/Elbow limits.*: /, '155 F, 167 F\r'],
      [/Thermistor.*: /, '\r'],
      [/Exhaust gas.*: /, 'none\r'],
      [/Running inputs.*: /, 'yes\r'],
      [/Cable.*: /, '13 ft, AWG 20\r'],
      [/Folder for kit.yaml.*: /, `${out}\r`],
    ]);
    expect(screen).toMatch(/Wrote .*kit\.yaml/);
    expect(exitCode).toBe(0);
    expect(parseKit(readFileSync(join(out, 'kit.yaml'), 'utf8'), 'kit.yaml').boat.name).toBe('Trial boat');
    const answers = answersSchema.parse(parse(readFileSync(join(out, 'planned-answers.yaml'), 'utf8')));
    expect(answers).toMatchObject({ boat: 'Trial boat', exhaustGas: { amplifier: 'none' } });
    expect(answers.cable.metres).toBeCloseTo(13 * 0.3048, 6);
    // AWG 20 has 0.518 mm2 (handbook tables of ASTM B258, from memory); 167 F are 75 C exactly.
    expect(answers.cable.squareMm).toBeCloseTo(0.518, 3);
    expect(answers.wetElbow.limits.alarmAtC).toBeCloseTo(75, 9);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
