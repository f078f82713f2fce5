import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import yargs, { type Argv, type CommandModule } from 'yargs';
import { commands, commandsFor } from '../../../host/cli/commands.js';
import { mistyped } from '../../../host/cli/mistyped.js';
import { runCommandHere } from './run-command-here.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom asked '));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const run = async (...typed: [string, ...string[]]) => {
  const load = commands[typed[0]];
  if (!load) throw new Error(`no command ${typed[0]}`);
  return runCommandHere(await load(), ...typed);
};

describe('what is typed wrongly', () => {
  it.each([
    ['wiring --kti x', /^Unknown option --kti\. Did you mean --kit\?\nelbowroom wiring --help/],
    ['wiring -kit x', /^Unknown option -kit\. Did you mean --kit\?/],
    ['bench --page-prot 5', /^Unknown option --page-prot\. Did you mean --page-port\?/],
    ['bench --seson', /Did you mean --season\?/],
    ['bench --contr 5', /Did you mean --control-port\?/],
    ['wiring --zebra', /^Unknown option --zebra\.\nelbowroom/],
    ['wiring extra', /^Unknown argument: extra\nelbowroom wiring --help/],
    ['calibrate --hold-s 1 --hold-s 2', /^--hold-s is given 2 times; it takes one value\./],
    ['watch --page-port abc', /^--page-port must be a number\./],
    ['watch --page-port 70000', /^--page-port must be a port from 1 to 65535/],
  ] as const)('%s', async (line, words) => {
    const { stdout, stderr, exitCode } = await run(...(line.split(' ') as [string, ...string[]]));
    expect(stderr).toMatch(words);
    expect([stdout, exitCode]).toEqual(['', 2]);
  });

  it('what is known is not blamed: camel case, a no, a short one', () => {
    const known = ['data-dir', 'season', 'help', 'h'];
    expect(mistyped(['--dataDir', 'x', '--no-season', '-h', '-', 'word', '--data-dir=x'], known)).toBe(
      undefined,
    );
    expect(mistyped(['--dataDri'], known)).toBe('Unknown option --dataDri. Did you mean --data-dir?');
  });

  it('an option that may be repeated is', async () => {
    const { stderr } = await run(
      'calibrate',
      '--probe',
      'a',
      '--probe',
      'b',
      '--kit',
      join(folder, 'none.yaml'),
    );
    expect(stderr).toMatch(/^No kit file at .*none\.yaml/);
  });
});

describe('a data folder that cannot be made is named, at once', () => {
  // A folder within a file, and one within /proc, where Node's own recursion never comes back.
  const places = ['/dev/null/x', ...(process.platform === 'linux' ? ['/proc/elbowroom'] : [])];
  it.each(
    places.flatMap((place) => [
      [place, 'degrees fahrenheit'],
      [place, 'access --token plotter'],
      [place, 'import none.csv'],
      [place, 'forward --status'],
      [place, 'host --page-port 0'],
    ]),
  )('%s: %s', async (place, line) => {
    const typed = [...line.split(' '), '--data-dir', place] as unknown as [string, ...string[]];
    const { stderr, exitCode } = await run(...typed);
    expect(stderr).toContain(place);
    expect(stderr).not.toMatch(/\n\s+at /);
    expect([2, 3]).toContain(exitCode);
  });
});

describe('a file that is not a kit', () => {
  const wiring = async (content: string | Uint8Array) => {
    const kit = join(folder, 'kit.yaml');
    writeFileSync(kit, content);
    return (await run('wiring', '--once', '--kit', kit)).stderr;
  };
  it('is not poured over the terminal', async () => {
    expect(await wiring(Uint8Array.from({ length: 4000 }, (_, i) => (i * 7919) % 256))).toMatch(
      /is not a text file\. Name your kit file with --kit FILE/,
    );
    const long = await wiring('x'.repeat(5000));
    expect(long.length).toBeLessThan(400);
    expect(long).toMatch(/found "x{50,60}\.\.\.; expected a group of settings/);
  });
  it('a tab is reported once, whatever it throws over', async () => {
    const said = await wiring('kit: 1\nboat:\n\tname: x\n\tinvented: true\nboard: [\n  a: }\n');
    expect(said.match(/line \d+/g)).toEqual(['line 3']);
    expect(said).toMatch(/Tabs are not allowed/);
  });
});

describe('a line that is meant to be pasted', () => {
  it('plan quotes a path with a space so that the shell takes it as one word', async () => {
    const { stderr } = await run('plan', '--answers', answers(), '--out', join(folder, "Dad's kit"));
    const line = /then run: (elbowroom wiring .*)$/m.exec(stderr)?.[1] ?? '';
    const { stdout } = spawnSync('sh', ['-c', `elbowroom() { printf '%s|' "$@"; }; ${line}`], {
      encoding: 'utf8',
    });
    expect(stdout).toBe(`wiring|--kit|${join(folder, "Dad's kit", 'kit.yaml')}|`);
  });
  const answers = () => {
    const path = join(folder, 'answers.yaml');
    writeFileSync(path, 'plan: 1\nboat: Marsh Harrier\n');
    return path;
  };
});

/** The command lines that a command gives as examples. */
const examplesOf = ({ builder }: CommandModule): string[] => {
  const shown: string[] = [];
  const parser = yargs();
  vi.spyOn(parser, 'example').mockImplementation(((line: string) => {
    shown.push(line);
    return parser;
  }) as never);
  (builder as (parser: Argv) => Argv)(parser);
  return shown;
};

describe('--help of every command', () => {
  it.each(Object.keys(commands))('%s: when it is used, and examples that it takes', async (name) => {
    const help = (await run(name, '--help')).stdout.replaceAll(/\n\s*/g, ' ');
    expect(help).toMatch(/ When: [A-Z]/);
    const command = (await commands[name]?.()) as CommandModule;
    const examples = examplesOf(command);
    expect(examples.length).toBeGreaterThan(0);
    for (const example of examples) {
      // What comes before a pipe or behind a > is the shell's.
      const [, line = ''] = /\$0 ([^>|]*)/.exec(example) ?? [];
      const typed = [...line.matchAll(/"([^"]*)"|(\S+)/g)].map(([, quoted, plain]) => quoted ?? plain ?? '');
      let ran = false;
      const taken = {
        ...command,
        handler: () => {
          ran = true;
        },
      };
      const { stderr } = await runCommandHere(taken, ...typed);
      // A command within convert has a handler of its own.
      expect([example, stderr, ran || name === 'convert']).toEqual([example, '', true]);
    }
  });

  it.each([
    ['commission', ['hot dip', 'gloves', 'second person at the helm', 'fresh air']],
    ['calibrate', ['scald', 'gloves', 'no children', 'off and cold']],
    ['verify', ['scald']],
    ['watch', ["does not replace the engine's own alarms"]],
    ['plan', ['carbon monoxide', 'local codes']],
    ['wiring', ['belts', 'hot exhaust']],
  ])('%s names what can hurt', async (name, words) => {
    const help = (await run(name, '--help')).stdout.replaceAll(/\s+/g, ' ');
    for (const word of words) expect(help).toContain(word);
  });
});

it('a command behind an option of all commands is found, loaded and run', async () => {
  const typed = ['--degrees', 'fahrenheit', 'convert', 'boiling', '--altitude-m', '0', '--json'];
  const [first, ...others] = (await commandsFor(typed[0])).filter(({ command }) =>
    `${command}`.startsWith('convert'),
  );
  expect(others).toEqual([]);
  const { exitCode, stdout } = await runCommandHere(first as CommandModule, ...typed);
  expect(exitCode).toBe(0);
  // IAPWS-IF97: water boils at 99.97 C at 1013.25 hPa.
  expect(JSON.parse(stdout).temperatureC).toBeCloseTo(99.97, 2);
});
