import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { freePort } from '../../host/supervise/free-port.js';
import type { Now } from './house/bench-boat.js';
import { type RunningCommand, startCommand, until } from './house/running-command.js';

const folder = mkdtempSync(join(tmpdir(), 'elbowroom-two-boards-'));
const running: RunningCommand[] = [];
const limits =
  'limits: { warning: { raiseAtC: 68, clearAtC: 64, holdS: 2 }, alarm: { raiseAtC: 75, clearAtC: 70, holdS: 2 } }';
const kitOf = (node: string, engines: readonly string[], boardPort: number) => `kit: 1
boat: { name: Two boards, invented: true }
node: ${node}
board: { connection: "tcp://127.0.0.1:${boardPort}" }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 }
engines: [${engines.map((id, i) => `{ id: ${id}, runningInput: { pin: ${i + 2} } }`).join(', ')}]
probes:
${engines.map((id, i) => `  - { id: ${id}-elbow, name: ${id} elbow, engine: ${id}, place: wet-elbow, mounting: well, channel: { kind: ntc-divider, pin: A${i}, resistorOhms: 2200, thermistor: { law: beta, r25Ohms: 10000, betaK: 3977 } }, ${limits} }`).join('\n')}
`;
const boards = [
  { node: 'fore', engines: ['port', 'starboard'], control: 0 },
  { node: 'aft', engines: ['centre', 'generator'], control: 0 },
];
let page = '';
const now = async (): Promise<Now> => (await fetch(`${page}/api/now`)).json() as Promise<Now>;

/** The first of two neighbouring ports that were both free a moment ago: the second node takes the next one. */
const linkPort = async (): Promise<number> => {
  for (;;) {
    const port = await freePort();
    const taken = await fetch(`http://127.0.0.1:${port + 1}`).catch((error: Error) => `${error.cause}`);
    if (/ECONNREFUSED/.test(`${taken}`)) return port;
  }
};

beforeAll(async () => {
  for (const board of boards) {
    const [boardPort, control] = [await freePort(), await freePort()];
    board.control = control;
    const kit = join(folder, `${board.node}.yaml`);
    writeFileSync(kit, kitOf(board.node, board.engines, boardPort));
    running.push(
      startCommand(
        'bench-board',
        '--kit',
        kit,
        '--board-port',
        `${boardPort}`,
        '--control-port',
        `${control}`,
      ),
    );
    await until('the board', async () => (await fetch(`http://127.0.0.1:${control}/truth`)).ok);
  }
  const pagePort = await freePort();
  page = `http://127.0.0.1:${pagePort}`;
  running.push(
    startCommand(
      ...['watch', ...boards.flatMap(({ node }) => ['--kit', join(folder, `${node}.yaml`)])],
      ...['--link', `127.0.0.1:${await linkPort()}`, '--page-port', `${pagePort}`],
      ...['--data-dir', join(folder, 'data')],
    ),
  );
  await until('readings of both boards', async () => {
    const { probes } = await now();
    return probes.length === 4 && probes.every(({ quality }) => quality === 'good');
  });
});
afterAll(async () => {
  await Promise.all(running.map((command) => command.kill('SIGTERM')));
  rmSync(folder, { recursive: true, force: true });
});

const order = async (control: number, action: object): Promise<void> => {
  const answer = await fetch(`http://127.0.0.1:${control}/do`, {
    method: 'POST',
    body: JSON.stringify(action),
  });
  if (!answer.ok) throw new Error(await answer.text());
};

it('four engines on two boards are one boat on the page', async () => {
  const { engines } = await now();
  expect(engines.map(({ id }) => id).sort()).toEqual(['centre', 'generator', 'port', 'starboard']);
  expect(engines.every((engine) => engine.running)).toBe(true);
});

it('the cable of one board is pulled: that node says so, and the engines of the other are guarded as before', async () => {
  const [fore, aft] = boards.map(({ control }) => control) as [number, number];
  await order(aft, { action: 'unplug' });
  await until('the alert of the lost board', async () =>
    (await now()).alerts.find(({ id, state }) => id.startsWith('board') && state !== 'rectified'),
  );
  const { probes } = await now();
  const good = probes.filter(({ quality }) => quality === 'good').map(({ engine }) => engine);
  expect(good.sort()).toEqual(['port', 'starboard']);
  await order(fore, { action: 'bag-intake', engine: 'port' });
  const alarm = await until(
    'the alarm of the other board',
    async () =>
      (await now()).alerts.find(({ id, priority }) => id === 'cooling:port' && priority === 'alarm'),
    110,
  );
  expect(alarm.engine).toBe('port');
});

it('two kits under one node name are refused before anything starts, with what to do', async () => {
  const twin = join(folder, 'twin.yaml');
  writeFileSync(twin, kitOf('fore', ['other'], 1));
  const refused = startCommand(
    ...['watch', '--kit', join(folder, 'fore.yaml'), '--kit', twin],
    ...['--link', `127.0.0.1:${await linkPort()}`, '--data-dir', join(folder, 'refused')],
  );
  expect(await refused.ended).toBe(2);
  expect(refused.said()).toMatch(/Two kit files have node: fore\. Give each board its own/);
});
