import { existsSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { Readable } from 'node:stream';
import { describe, expect, it, vi } from 'vitest';
import { planCommand } from '../../../host/cli/plan-command.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import { at, folder, withOwnFolder } from './own-folder.js';
import { runCommandHere } from './run-command-here.js';

withOwnFolder();

describe('elbowroom plan', () => {
  it('prints an example that it takes itself, and writes a kit.yaml that loads, with its drawings', async () => {
    const example = await runCommandHere(planCommand, 'plan', '--example');
    writeFileSync(at('answers.yaml'), example.stdout);
    const made = await runCommandHere(
      planCommand,
      'plan',
      '--answers',
      at('answers.yaml'),
      '--out',
      at('kit'),
    );
    expect(made).toMatchObject({ exitCode: 0 });
    expect(made.stdout).toMatch(/75 alarm/);
    expect(made.stderr).toMatch(/Next: .*elbowroom wiring --kit/);
    const spaced = at('my kit');
    const asPasted = await runCommandHere(
      planCommand,
      'plan',
      '--answers',
      at('answers.yaml'),
      '--out',
      spaced,
    );
    expect(asPasted.stderr).toContain(`elbowroom wiring --kit '${join(spaced, 'kit.yaml')}'`);
    expect(parseKit(readFileSync(at('kit', 'kit.yaml'), 'utf8'), 'kit.yaml').probes.length).toBe(6);
    for (const name of ['port-elbow.svg', 'missing-pulse.svg', 'running-port.svg'])
      expect(existsSync(at('kit', 'wiring', name))).toBe(true);
  });

  it('does not write over a kit.yaml unless asked to', async () => {
    writeFileSync(at('a.yaml'), 'plan: 1\nboat: Marsh Harrier\n');
    writeFileSync(at('kit.yaml'), 'mine');
    const args = ['plan', '--answers', at('a.yaml'), '--out', folder];
    expect(await runCommandHere(planCommand, ...args)).toMatchObject({ exitCode: 2 });
    expect(readFileSync(at('kit.yaml'), 'utf8')).toBe('mine');
    expect(await runCommandHere(planCommand, ...args, '--force')).toMatchObject({ exitCode: 0 });
  });

  it('gives one JSON document with everything in it', async () => {
    writeFileSync(at('a.yaml'), 'plan: 1\nboat: Marsh Harrier\n');
    const { stdout } = await runCommandHere(planCommand, 'plan', '--answers', at('a.yaml'), '--json');
    const plan = JSON.parse(stdout);
    expect(plan.probes[0].plan.choice.resistorOhms).toBe(4700);
    expect(plan.allocation.connections['main-engine-elbow']).toEqual({ over: 'pin', pin: 'A0' });
    expect(parseKit(plan.kit, 'kit').boat.name).toBe('Marsh Harrier');
  });

  it.each([
    ['a word it does not know', 'plan: 1\nboat: B\nseaProbe: true\n', /line 3, column 1.*seaProbe/s],
    [
      'a warning above the alarm',
      'plan: 1\nboat: B\nwetElbow: { limits: { warnAtC: 80, alarmAtC: 75 } }\n',
      /warnAtC must be below alarmAtC/,
    ],
    [
      'more than the board has pins for',
      'plan: 1\nboat: B\nengines: [{ id: port }, { id: starboard }]\nconverter: board\nexhaustGas: { amplifier: ad8495, beforeTurbo: true }\n',
      /Leave one out/,
    ],
  ])('refuses %s with exit code 2', async (_what, text, words) => {
    writeFileSync(at('a.yaml'), text);
    const { exitCode, stderr, stdout } = await runCommandHere(planCommand, 'plan', '--answers', at('a.yaml'));
    expect([exitCode, stdout]).toEqual([2, '']);
    expect(stderr).toMatch(words);
  });

  it('takes - for what it reads from standard input', async () => {
    const stdin = vi
      .spyOn(process, 'stdin', 'get')
      .mockReturnValue(Readable.from([]) as typeof process.stdin);
    const said = await runCommandHere(planCommand, 'plan', '--answers', '-');
    stdin.mockRestore();
    expect(said).toMatchObject({ exitCode: 2, stderr: expect.stringMatching(/^stdin /) });
  });

  it('names a file that is not there', async () => {
    expect(await runCommandHere(planCommand, 'plan', '--answers', at('none'))).toMatchObject({
      exitCode: 2,
      stderr: expect.stringMatching(/none cannot be read/),
    });
  });
});
