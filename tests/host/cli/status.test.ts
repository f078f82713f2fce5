import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { statusCommand } from '../../../host/cli/status-command.js';
import { adviceOn } from '../../../host/status/advice.js';
import type { Status } from '../../../host/status/status.js';
import { statusText } from '../../../host/status/status-text.js';
import { freePort } from '../../../host/supervise/free-port.js';
import { runCommandHere } from './run-command-here.js';

const dayMs = 86_400_000;
const at = Date.parse('2026-06-01T10:00:00Z');

const guarding = {
  address: '127.0.0.1:8472',
  boat: 'Halcyon',
  invented: false,
  board: 'connected',
  boardDetail: 'StandardFirmata on /dev/ttyUSB0',
  passes: 1200,
  passing: true,
  alerts: [],
  probes: [
    { id: 'port-elbow', name: 'Port elbow', text: '41.2 C', quality: 'good' },
    { id: 'stbd-elbow', name: 'Starboard elbow', text: '40.9 C', quality: 'good' },
    { id: 'sea', name: 'Sea water', text: '18.0 C', quality: 'good' },
  ],
} satisfies Status['node'];

const well: Status = {
  at,
  kit: { path: 'kit.yaml', commissioned: true },
  node: guarding,
  host: { holder: 'process 12, started 2026-06-01T09:00:00.000Z', page: 'answers', alerts: [] },
  disk: { freeBytes: 20e9, storeBytes: 34e6 },
  lastStoredAt: at,
  outputs: [{ name: 'webhook to example.org', sent: 3, failed: 0, waiting: 0, dropped: 0 }],
  calibration: [{ probe: 'port-elbow', name: 'Port elbow', why: 'interval', dueAt: at + 200 * dayMs }],
};

it('says that nothing needs a person when nothing does', () => {
  expect(adviceOn(well)).toEqual({ needed: [], next: [] });
  expect(statusText(well, 80)).toContain('Nothing needs you now.');
});

const alarm = { priority: 'alarm', state: 'unacknowledged', message: 'Port: no water', since: at } as const;
it('says nothing of an alert that is over and was acknowledged', () => {
  const seen = { ...alarm, state: 'rectified' as const, acknowledgedAt: at };
  expect(adviceOn({ ...well, node: { ...guarding, alerts: [seen] } }).needed).toEqual([]);
});

const { node: _, ...noNode } = well;
const probe = { id: 'sea', name: 'Sea water', quality: 'open' } as const;
it.each<[string, Status, RegExp]>([
  ['no node', noNode, /NOTHING GUARDS/],
  ['a lost board', { ...well, node: { ...guarding, board: 'lost' } }, /board is lost/],
  ['a node whose loop hangs', { ...well, node: { ...guarding, passing: false } }, /no pass/],
  ['an open probe', { ...well, node: { ...guarding, probes: [probe] } }, /No reading of Sea water/],
  ['an active alarm', { ...well, node: { ...guarding, alerts: [alarm] } }, /1 active alert/],
  [
    'an alert that is over and that was not acknowledged',
    { ...well, node: { ...guarding, alerts: [{ ...alarm, state: 'rectified' }] } },
    /^1 alert over and not acknowledged/,
  ],
  ['a node that does not answer', { ...noNode, nodeHolder: 'process 11' }, /^A node runs \(process 11\)/],
  ['a second node that is silent', { ...well, host: { ...well.host, silent: ['aft'] } }, /node aft/],
  ['a page on another port', { ...well, host: { ...well.host, page: 'away' } }, /--page http:/],
  ['an alert of the host', { ...well, host: { ...well.host, alerts: [alarm] } }, /1 active alert/],
  ['no host', { ...well, host: { page: 'away', alerts: [] } }, /nothing is stored/],
  ['a full disk', { ...well, disk: { freeBytes: 400e6 } }, /nearly full/],
  [
    'an output that gave up',
    { ...well, outputs: [{ name: 'webhook', dropped: 1, lastError: 'refused' }] },
    /webhook: refused/,
  ],
  [
    'a calibration that is overdue',
    { ...well, calibration: [{ probe: 'sea', name: 'Sea water', why: 'interval', dueAt: at - dayMs }] },
    /Calibrate Sea water/,
  ],
  ['a kit that cannot be read', { ...well, kit: { ...well.kit, trouble: 'kit.yaml: line 3' } }, /line 3/],
])('names %s as needing a person, in 80 columns', (_name, status, words) => {
  const { needed } = adviceOn(status);
  expect(needed.join('\n')).toMatch(words);
  const lines = statusText(status, 80).split('\n');
  expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(80);
  expect(lines.length, 'one screen').toBeLessThanOrEqual(24);
});

it('ends with 1 in a folder where nothing runs, and says what to start', async () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-status-'));
  try {
    writeFileSync(join(folder, 'kit.yaml'), 'kit: 1\n');
    const unused = `127.0.0.1:${await freePort()}`;
    const options = ['--kit', join(folder, 'kit.yaml'), '--data-dir', join(folder, 'data')];
    const asked = ['status', ...options, '--node', unused, '--page', `http://${unused}`];
    const { exitCode, stdout } = await runCommandHere(statusCommand, ...asked);
    expect(exitCode).toBe(1);
    expect(stdout).toMatch(/NOTHING GUARDS THE ENGINES. Start: elbowroom watch/);
    const json = await runCommandHere(statusCommand, ...asked, '--json');
    expect(JSON.parse(json.stdout).needed[0]).toMatch(/NOTHING GUARDS/);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
