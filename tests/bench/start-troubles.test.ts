import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Server } from 'node:net';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { benchKitYaml } from '../../node/index.js';
import { startCommand } from './house/running-command.js';

/** A port that somebody else holds for as long as the tests run. */
const takePort = (): Promise<{ server: Server; port: number }> =>
  new Promise((done) => {
    const server = createServer().listen(0, '127.0.0.1', () => {
      const address = server.address();
      done({ server, port: typeof address === 'object' && address ? address.port : 0 });
    });
  });

describe('a start that cannot go on says what, where and what to do, and ends with the right code', () => {
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
      'a link port in use',
      () => ['node', '--kit', kit, '--board', 'tcp://127.0.0.1:1', '--link', `127.0.0.1:${taken.port}`],
      3,
      /--link/,
      /taken|another program/,
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

  it('a missing board is told, with the ways to find it, while the node waits for it', async () => {
    const command = startCommand(
      'node',
      '--kit',
      kit,
      '--board',
      'tcp://127.0.0.1:1',
      '--link',
      '127.0.0.1:0',
    );
    await expect.poll(() => command.said(), { timeout: 60_000 }).toMatch(/127\.0\.0\.1:1/);
    await command.kill();
    expect(await command.ended).toBe(0);
  });
});
