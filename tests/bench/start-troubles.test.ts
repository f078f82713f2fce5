import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { connect, createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { freePort } from '../../host/supervise/free-port.js';
import { benchKitYaml } from '../../node/bench/index.js';
import { startCommand, until } from './house/running-command.js';

/** A port that somebody else holds for as long as the tests run. */
const takePort = (): Promise<{ server: Server; port: number }> =>
  new Promise((done) => {
    const server = createServer().listen(0, '127.0.0.1', () => {
      const address = server.address();
      done({ server, port: typeof address === 'object' && address ? address.port : 0 });
    });
  });

describe('a start that cannot continue says what, where and what to do, and ends with the right code', () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-trouble-'));
  const kit = join(folder, 'kit.yaml');
  let taken: { server: Server; port: number };

  beforeAll(async () => {
    writeFileSync(kit, benchKitYaml);
    writeFileSync(join(folder, 'wrong.yaml'), benchKitYaml.replace(/resistorOhms: \d+/, 'resistorOhms: ten'));
    writeFileSync(join(folder, 'broken.yaml'), 'kit: 1\nprobes: [\n');
    writeFileSync(join(folder, 'a-file'), 'in the way');
    taken = await takePort();
  });
  afterAll(() => {
    taken.server.close();
    rmSync(folder, { recursive: true, force: true });
  });

  const troubles: [what: string, args: () => string[], code: number, ...says: RegExp[]][] = [
    [
      'no kit file',
      () => ['node', '--kit', join(folder, 'none.yaml')],
      2,
      /none\.yaml/,
      /elbowroom (plan|bench)|--kit/,
    ],
    [
      'a word where a number belongs',
      () => ['node', '--kit', join(folder, 'wrong.yaml')],
      2,
      /wrong\.yaml/,
      /line \d+, column \d+/,
      /resistorOhms/,
      /ten/,
    ],
    [
      'a file that is not YAML',
      () => ['node', '--kit', join(folder, 'broken.yaml')],
      2,
      /broken\.yaml/,
      /line \d+/,
    ],
    [
      'a board connection that means nothing',
      () => ['node', '--kit', kit, '--board', 'tcp://nowhere'],
      2,
      /tcp:\/\/nowhere/,
      /tcp:\/\/127\.0\.0\.1:8473/,
    ],
    [
      'watch with no kit file',
      () => ['watch', '--kit', join(folder, 'none.yaml'), '--data-dir', join(folder, 'watch')],
      2,
      /none\.yaml/,
      /--kit/,
    ],
    [
      'watch with an invalid link address',
      () => ['watch', '--kit', kit, '--link', 'nowhere', '--data-dir', join(folder, 'watch')],
      2,
      /nowhere/,
      /127\.0\.0\.1:8472/,
    ],
    [
      'a page port in use',
      () => ['host', '--data-dir', join(folder, 'host'), '--page-port', `${taken.port}`],
      3,
      /--page-port/,
      /taken|another program/,
    ],
    [
      'a data folder that cannot be written',
      () => ['host', '--data-dir', join(folder, 'a-file', 'inside'), '--page-port', '0'],
      3,
      /a-file/,
      /--data-dir|folder/,
    ],
    [
      'an invalid page port',
      () => ['watch', '--kit', kit, '--page-port', 'abc'],
      2,
      /--page-port must be a number/,
    ],
    ['an unknown command', () => ['wotch'], 2, /watch/],
    ['no command', () => [], 2, /--help/],
  ];

  it.each(troubles)('%s', async (_what, args, code, ...says) => {
    const command = startCommand(...args());
    const ended = await command.ended;
    for (const pattern of says) expect(command.said()).toMatch(pattern);
    expect(command.said()).not.toMatch(/^\s+at .*:\d+:\d+/m);
    expect(ended).toBe(code);
  });

  it('a bench whose page port is taken stops as a whole with code 3', async () => {
    const ports = ['--page-port', `${taken.port}`, '--control-port', '0'];
    const command = startCommand('bench', ...ports, '--data-dir', join(folder, 'bench'));
    expect(await command.ended).toBe(3);
    expect(command.said()).toMatch(/--page-port/);
  });

  it('a link port in use is said, while the node guards and waits for it', async () => {
    const link = ['--link', `127.0.0.1:${taken.port}`];
    const command = startCommand('node', '--kit', kit, '--board', 'tcp://127.0.0.1:1', ...link);
    await expect.poll(() => command.said(), { timeout: 150_000 }).toMatch(/No host can be served.*--link/);
    await expect.poll(() => command.said(), { timeout: 150_000 }).toMatch(/127\.0\.0\.1:1\b/);
    expect(command.child.exitCode).toBeNull();
    await command.kill();
    expect(await command.ended).toBe(0);
  });

  it('a missing board is reported, with the ways to find it, while the node waits for it', async () => {
    const command = startCommand(
      'node',
      '--kit',
      kit,
      '--board',
      'tcp://127.0.0.1:1',
      '--link',
      '127.0.0.1:0',
    );
    await expect.poll(() => command.said(), { timeout: 150_000 }).toMatch(/127\.0\.0\.1:1/);
    await command.kill();
    expect(await command.ended).toBe(0);
  });
});

/** Whether somebody listens on a port of loopback. */
const answers = (port: number): Promise<boolean> =>
  new Promise((done) => {
    const socket = connect(port, '127.0.0.1');
    socket.once('connect', () => done(true)).once('error', () => done(false));
    socket.once('connect', () => socket.destroy());
  });

describe('watch keeps guarding when its host cannot start', () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-no-host-'));
  let taken: { server: Server; port: number };
  beforeAll(async () => {
    taken = await takePort();
  });
  afterAll(() => {
    taken.server.close();
    rmSync(folder, { recursive: true, force: true });
  });

  const startWatch = async (name: string, connection: string, pagePort: number, file?: [string, string]) => {
    const dataDir = join(folder, name);
    const kit = join(folder, `${name}.yaml`);
    writeFileSync(kit, benchKitYaml.replace('connection: bench', `connection: "${connection}"`));
    mkdirSync(join(dataDir, 'host'), { recursive: true });
    if (file) writeFileSync(join(dataDir, 'host', file[0]), file[1]);
    const link = await freePort();
    const watch = startCommand(
      ...['watch', '--kit', kit, '--link', `127.0.0.1:${link}`],
      ...['--data-dir', dataDir, '--page-port', `${pagePort}`],
    );
    return { watch, link, dataDir };
  };

  it('a damaged store: the heartbeat continues, and the page comes with a new store, the damaged one kept', async () => {
    const [boardPort, controlPort, pagePort] = await Promise.all([freePort(), freePort(), freePort()]);
    const kit = join(folder, 'board.yaml');
    const board = startCommand(
      ...['bench-board', '--kit', kit, '--board-port', `${boardPort}`, '--control-port', `${controlPort}`],
    );
    const edges = async () => {
      const truth = await (await fetch(`http://127.0.0.1:${controlPort}/truth`)).json();
      return (truth as { pins: { heartbeatEdges: number } }).pins.heartbeatEdges;
    };
    await until('the bench to answer', async () => (await edges()) >= 0);
    const store: [string, string] = ['elbowroom.sqlite', 'no database at all, '.repeat(500)];
    const { watch, dataDir } = await startWatch('store', `tcp://127.0.0.1:${boardPort}`, pagePort, store);
    try {
      await until('the word that it was moved', () => /history was damaged/.test(watch.said()));
      const before = await edges();
      await until('fifty more beats', async () => (await edges()) > before + 50);
      expect(watch.child.exitCode).toBeNull();
      expect(readdirSync(join(dataDir, 'host')).filter((name) => name.startsWith('damaged-'))).toHaveLength(
        1,
      );
      await until('the page', async () => (await fetch(`http://127.0.0.1:${pagePort}/api/now`)).ok);
      await watch.kill();
      expect(await watch.ended).toBe(0);
    } catch (error) {
      throw new Error(`${String(error)}\n${watch.said()}`);
    } finally {
      await Promise.all([watch.kill('SIGTERM'), board.kill()]);
    }
  });

  it('a page port that is taken: the host stores all the same, and the page comes when the port is free', async () => {
    const other = await takePort();
    const { watch, link } = await startWatch('page-port', 'tcp://127.0.0.1:1', other.port);
    try {
      await until('the reason', () => /port \d+ on 127\.0\.0\.1 is taken/.test(watch.said()));
      expect(await answers(link)).toBe(true);
      other.server.close();
      const now = async () => (await fetch(`http://127.0.0.1:${other.port}/api/now`)).json();
      await until('the page, over the connection to the node', async () =>
        JSON.stringify(await now()).includes('"connected":true'),
      );
      expect(watch.said()).not.toMatch(/starting it again/);
    } finally {
      await watch.kill();
    }
    expect(await watch.ended).toBe(0);
  });

  const troubles: [what: string, pagePort: () => number, file: [string, string] | undefined, says: RegExp][] =
    [
      ['host-yaml', () => 0, ['host.yaml', 'degrees: [\n'], /host\.yaml/],
      ['access-json', () => 0, ['access.json', '{"passPhrases":'], /access\.json is not what/],
    ];
  it.each(troubles)('%s', async (what, pagePort, file, says) => {
    const { watch, link } = await startWatch(what, 'tcp://127.0.0.1:1', pagePort(), file);
    try {
      const page = await until('the page', () => /The page is at (http:\S+)/.exec(watch.said())?.[1]);
      expect(watch.said()).toMatch(says);
      const { alerts } = (await (await fetch(new URL('/api/now', page))).json()) as { alerts: object[] };
      expect(alerts).toContainEqual(expect.objectContaining({ message: expect.stringMatching(says) }));
      expect(watch.said()).not.toMatch(/KEEPS GUARDING|starting it again/);
      expect(await answers(link)).toBe(true);
      expect(watch.child.exitCode).toBeNull();
    } finally {
      await watch.kill();
    }
    expect(await watch.ended).toBe(0);
    expect(await answers(link)).toBe(false);
  });
});
