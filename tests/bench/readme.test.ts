import { type ChildProcess, spawn } from 'node:child_process';
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { delimiter, join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { nodeAnswers } from '../../host/link/answers.js';
import { freePort } from '../../host/supervise/free-port.js';
import { benchKitYaml } from '../../node/bench/index.js';
import { type RunningCommand, startCommand, until } from './house/running-command.js';

const root = resolve(import.meta.dirname, '../..');

/** README, and the pages that carry on where it ends. */
const pages = ['README.md', 'hardware-notes/security.md', 'hardware-notes/server.md'];

/** Every line of their code blocks that a reader would type, without the remark behind it. */
const typed = pages
  .flatMap((page) => [...readFileSync(join(root, page), 'utf8').matchAll(/```\n([\s\S]*?)```/g)])
  .flatMap((block) => (block[1] ?? '').split('\n'))
  .map((line) => line.replace(/\s+#.*$/, '').trim())
  .filter((line) => line !== '');

type Outcome = {
  readonly says: RegExp;
  /** Its exit code; a command that continues by itself is ended once it has said it. */
  readonly code?: number;
  readonly input?: string;
  /** Typed in the clone, as README says, and not in the boat's folder. */
  readonly inClone?: true;
  /** The line that is left running in another window meanwhile; its node must answer first. */
  readonly beside?: string;
  readonly afterwards?: () => void;
};

/** Each line, in README's order: what it is seen to do in a folder with a kit on the bench and a fresh store. */
const outcomes: Readonly<Record<string, Outcome | 'elsewhere'>> = {
  // Installing, starting and testing are what .ci/run and tests/bench/restart.test.ts do.
  'npm ci && npm start': 'elsewhere',
  'npm test': 'elsewhere',
  'npm link --ignore-scripts': { says: /added|up to date|changed/, code: 0, inClone: true },
  // Each line has a shell of its own here, so a `cd` would not last.
  'mkdir -p ~/boat && cd ~/boat': 'elsewhere',
  'elbowroom plan --example > answers.yaml': {
    // The example goes into the file, and nothing is left to say.
    says: /^$/,
    code: 0,
    afterwards: () => expect(readFileSync(join(folder, 'answers.yaml'), 'utf8')).toMatch(/^wetElbow:/m),
  },
  'elbowroom plan --answers answers.yaml --out .': {
    says: /Wrote kit\.yaml/,
    code: 0,
    // From here on the boat is the one on the bench, so that the emulated board fits the kit.
    afterwards: () => {
      expect(readFileSync(join(folder, 'kit.yaml'), 'utf8')).toContain('id: port-elbow');
      cpSync(join(folder, 'bench-kit.yaml'), join(folder, 'kit.yaml'));
    },
  },
  'elbowroom wiring --kit kit.yaml --once': { says: /port-elbow .*good/ },
  'elbowroom watch --kit kit.yaml': { says: /http:\/\/127\.0\.0\.1/ },
  'elbowroom calibrate --kit kit.yaml --pressure-hpa 1009 --altitude-m 3': {
    says: /Ice bath/,
    beside: 'elbowroom watch --kit kit.yaml',
  },
  'elbowroom verify --certificate certificates/port-elbow@1.json': { says: /port-elbow@1\.json/, code: 3 },
  'elbowroom commission --kit kit.yaml': { says: /buzzer/i, code: 1 },
  'elbowroom replay': { says: /alert/i, code: 0 },
  'elbowroom report --voyage last': { says: /Wrote elbowroom-report/, code: 0 },
  'elbowroom export --format csv': {
    says: /^time,probe,temperatureC,raw,rawUnit,coldJunctionC,quality/m,
    code: 0,
  },
  'elbowroom outputs --test': { says: /names no output/, code: 0 },
  'elbowroom access --role act': {
    says: /The pass-phrase to act is set/,
    code: 0,
    input: 'four words no one guesses\n',
  },
  'elbowroom access --role watch': {
    says: /The pass-phrase to watch is set/,
    code: 0,
    input: 'four other words aboard\n',
  },
  // No certificate lies here: the host says so, and the guard continues without it.
  'elbowroom watch --kit kit.yaml --page-listen 0.0.0.0 --tls-cert boat.pem --tls-key boat-key.pem': {
    says: /boat\.pem/,
  },
  'elbowroom forward --to http://192.168.1.20:8428 --boat Invented --token-file token.txt': {
    says: /forward\.json/,
    code: 0,
  },
  'elbowroom forward --status': { says: /192\.168\.1\.20/, code: 0 },
  'elbowroom forward --backfill 2026-05-01 2026-05-08': { says: /hours of readings/, code: 0 },
};

const folder = mkdtempSync(join(tmpdir(), 'elbowroom-readme-'));
/** Where `npm link` puts the command; it builds nothing here and asks no registry. */
const linked = join(folder, 'linked');
const env = {
  ...process.env,
  PATH: `${join(linked, 'bin')}${delimiter}${process.env.PATH}`,
  npm_config_prefix: linked,
  npm_config_ignore_scripts: 'true',
  npm_config_offline: 'true',
  npm_config_audit: 'false',
  npm_config_fund: 'false',
};
let board: RunningCommand;
/** Address of the node of the kit on the bench. */
const nodeAddress = '127.0.0.1:8472';

/** Types a line as a reader would in a shell. */
const type = (
  line: string,
  cwd: string,
): { child: ChildProcess; said: () => string; ended: Promise<number | null> } => {
  const child = spawn('sh', ['-c', line], {
    cwd,
    env,
    detached: true,
  });
  let text = '';
  for (const stream of [child.stdout, child.stderr])
    stream?.on('data', (chunk) => {
      text += chunk;
    });
  return { child, said: () => text, ended: new Promise((done) => child.on('close', done)) };
};

/** The group of what a line started is ended, also when the line itself did not do what it should. */
const end = async ({ child, ended }: ReturnType<typeof type>): Promise<void> => {
  if (child.exitCode === null) process.kill(-(child.pid as number), 'SIGTERM');
  await ended;
};

describe('README', () => {
  beforeAll(async () => {
    mkdirSync(join(linked, 'lib'), { recursive: true });
    const boardPort = await freePort();
    const kit = benchKitYaml.replace('connection: bench', `connection: tcp://127.0.0.1:${boardPort}`);
    writeFileSync(join(folder, 'bench-kit.yaml'), kit);
    writeFileSync(join(folder, 'token.txt'), 'a-token-of-the-test\n');
    const ports = ['--board-port', `${boardPort}`, '--control-port', '0'];
    board = startCommand('bench-board', '--kit', join(folder, 'bench-kit.yaml'), ...ports);
    await until('the board', () => /Board on/.test(board.said())).catch((error: Error) => {
      throw new Error(`${error.message}\n${board.said()}`);
    });
    // A store as `elbowroom watch` would have left it after a minute of yesterday.
    const store = join(folder, 'elbowroom-data/host');
    const host = startCommand('host', '--data-dir', store, '--page-port', '0');
    await until('the store', () => /page is at/.test(host.said()));
    await host.kill();
    const yesterday = Date.now() - 86_400_000;
    const rows = Array.from(
      { length: 60 },
      (_, second) => `${new Date(yesterday + second * 1000).toISOString()},port-elbow,28.5,10000,ohm,,good`,
    );
    const csv = join(folder, 'yesterday.csv');
    writeFileSync(csv, ['time,probe,temperatureC,raw,rawUnit,coldJunctionC,quality', ...rows, ''].join('\n'));
    const imported = startCommand('import', csv, '--data-dir', store);
    expect(await imported.ended, imported.said()).toBe(0);
  });
  afterAll(async () => {
    await board?.kill();
    rmSync(folder, { recursive: true, force: true });
  });

  it('shows no command line that this test does not know, and all that it knows', () => {
    expect(typed).toEqual(Object.keys(outcomes));
  });

  it.each(Object.entries(outcomes).filter((entry): entry is [string, Outcome] => entry[1] !== 'elsewhere'))(
    '%s',
    async (line, { says, code, input, inClone, beside, afterwards }) => {
      const other = beside === undefined ? undefined : type(beside, folder);
      if (other)
        await until('its node', () => nodeAnswers(nodeAddress)).catch(async (error: Error) => {
          await end(other);
          throw new Error(`${error.message}\n${other.said()}`);
        });
      const start = () => {
        const started = type(line, inClone ? root : folder);
        started.child.stdin?.end(input ?? '');
        return started;
      };
      let running = start();
      try {
        if (code === undefined)
          await until(`${says}`, () => {
            if (says.test(running.said())) return true;
            // `wiring --once` gives a board 20 s; on a busy machine the emulated one starts more slowly, so look again.
            if (running.child.exitCode !== null) running = start();
            return false;
          }).catch((error: Error) => {
            throw new Error(`${error.message}\n${running.said()}`);
          });
        else {
          expect(await running.ended, running.said()).toBe(code);
          expect(running.said()).toMatch(says);
        }
      } finally {
        await end(running);
        if (other) await end(other);
      }
      afterwards?.();
    },
  );
});
