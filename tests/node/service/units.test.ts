import { execFile, spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server, type ServerResponse } from 'node:http';
import type { AddressInfo } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { promisify } from 'node:util';
import { afterAll, afterEach, describe, expect, test } from 'vitest';
import { guardFlags } from '../../../host/cli/guard-flags.js';
import { hostCommand } from '../../../host/cli/host-command.js';
import { nodeCommand } from '../../../host/cli/node-command.js';
import { runCommandHere } from '../../host/cli/run-command-here.js';

const folder = new URL('../../../node/service/', import.meta.url);
const commands = { node: nodeCommand, host: hostCommand };
const read = (name: string) => readFileSync(new URL(name, folder), 'utf8');
const units = readdirSync(folder);

/** `Key=value` lines by section; systemd.syntax(7) allows no other kind but comments and blank lines. */
const parsed = (text: string): Map<string, string[]> => {
  const found = new Map<string, string[]>();
  let section = '';
  for (const line of text.split('\n')) {
    if (line === '' || line.startsWith('#')) continue;
    const head = /^\[(\w+)\]$/.exec(line);
    if (head?.[1]) section = head[1];
    else {
      const [key, ...value] = line.split('=');
      expect(key).toMatch(/^[A-Z]\w+$/);
      const name = `${section}.${key}`;
      found.set(name, [...(found.get(name) ?? []), value.join('=')]);
    }
  }
  return found;
};

test('there are a node, a host, and a look at whether the node is alive', () => {
  expect(units.sort()).toEqual([
    'elbowroom-host.service',
    'elbowroom-node-alive.service',
    'elbowroom-node-alive.timer',
    'elbowroom-node.service',
  ]);
});

describe.each(['node', 'host'] as const)('the unit of the %s', (command) => {
  const unit = parsed(read(`elbowroom-${command}.service`));
  const start = unit.get('Service.ExecStart')?.[0] ?? '';

  test('starts its command with options that the command knows', async () => {
    expect(start).toContain(`/dist/host/cli/elbowroom.js ${command} `);
    const { stdout: help } = await runCommandHere(commands[command], command, '--help');
    const options = [...start.replace(/^.*elbowroom\.js/, '').matchAll(/ --([a-z-]+)/g)].map(
      ([, name]) => name,
    );
    expect(options.length).toBeGreaterThanOrEqual(2);
    for (const option of options) expect(help).toMatch(new RegExp(`^ +--${option} `, 'm'));
  });

  test('is started again whatever ended it', () => {
    expect(unit.get('Service.Restart')).toEqual(['always']);
  });

  test('may write nowhere but in its state folder, which is where its data folder is', () => {
    expect(unit.get('Service.ProtectSystem')).toEqual(['strict']);
    expect(unit.get('Service.StateDirectory')).toEqual(['elbowroom']);
    expect(start).toContain(`--data-dir /var/lib/elbowroom/${command}`);
  });
});

test('the node is started with the options that keep its memory small', () => {
  expect(read('elbowroom-node.service')).toContain(`/usr/bin/node ${guardFlags.join(' ')} /opt`);
});

test('the node is asked where it serves its health', () => {
  const health = /--health (\S+)/.exec(read('elbowroom-node.service'))?.[1];
  expect(read('elbowroom-node-alive.service')).toContain(`http://${health}/alive`);
});

describe('the look at whether the node is alive', () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-units-'));
  const restarted = join(folder, 'restarted');
  // systemd is not here: this acts as it and notes that it was asked.
  writeFileSync(join(folder, 'systemctl'), `#!/bin/sh\necho "$@" > ${restarted}\n`, { mode: 0o755 });
  const servers: Server[] = [];
  afterEach(() => {
    for (const server of servers.splice(0)) {
      server.closeAllConnections();
      server.close();
    }
    rmSync(restarted, { force: true });
  });
  afterAll(() => rmSync(folder, { recursive: true }));

  /** Runs the unit's line as systemd would, against a port where `answer` is given. Whether it restarts the node. */
  const restarts = async (
    answer?: (response: ServerResponse) => void,
    path = `${folder}:${process.env.PATH}`,
  ) => {
    const server = createServer((_, response) => answer?.(response));
    await new Promise<void>((done) => server.listen(0, '127.0.0.1', done));
    const { port } = server.address() as AddressInfo;
    if (answer) servers.push(server);
    else await new Promise((done) => server.close(done));
    const [line = ''] = parsed(read('elbowroom-node-alive.service')).get('Service.ExecStart') ?? [];
    const script = (/^\/bin\/sh -c '(.*)'$/.exec(line)?.[1] ?? '')
      .replaceAll('$$', '$')
      .replaceAll('\\\\', '\\')
      .replace('8474', String(port));
    expect(script).toContain('curl');
    await promisify(execFile)('/bin/sh', ['-c', script], { env: { PATH: path } });
    return existsSync(restarted);
  };
  const says = (status: number, body: string) => (response: ServerResponse) =>
    response.writeHead(status).end(body);

  test.each([
    ['says that it makes no passes', says(503, '{"alive":false,"ready":false}\n')],
    ['does not answer', () => undefined],
    ['refuses', undefined],
  ])('a node that %s is started again', async (_, answer) => {
    expect(await restarts(answer)).toBe(true);
  });

  test.each([
    ['a node that makes passes', says(200, '{"alive":true,"ready":false}\n'), undefined],
    ['another program on its port', says(404, 'not found'), undefined],
    ['a computer without curl', says(200, '{"alive":true}'), folder],
  ])('%s does not restart the guard', async (_, answer, path) => {
    expect(await restarts(answer, path)).toBe(false);
  });
});

test('a reload is the signal on which the node reads its kit again', () => {
  expect(read('elbowroom-node.service')).toContain('ExecReload=/bin/kill -HUP $MAINPID');
  expect(readFileSync(new URL('../../../host/cli/node-command.ts', import.meta.url), 'utf8')).toContain(
    'keepOnWithoutReader(() => reload())',
  );
});

test('systemd itself has nothing to say against them', ({ skip }) => {
  skip(spawnSync('systemd-analyze', ['--version']).error !== undefined, 'needs systemd-analyze');
  const copies = mkdtempSync(join(tmpdir(), 'elbowroom-units-'));
  // It looks whether the program is there: this machine's own node takes the place of the boat's.
  for (const unit of units)
    writeFileSync(join(copies, unit), read(unit).replace('/usr/bin/node ', `${process.execPath} `));
  const paths = units.map((unit) => join(copies, unit));
  const { status, stdout, stderr } = spawnSync('systemd-analyze', ['verify', '--man=no', ...paths], {
    encoding: 'utf8',
  });
  rmSync(copies, { recursive: true });
  expect(`${stdout}${stderr}`).toBe('');
  expect(status).toBe(0);
});
