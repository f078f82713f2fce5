import { chmodSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { fileMark } from '../../../host/files/file-mark.js';
import { runHost } from '../../../host/run/run-host.js';

it.each([
  ['a token file that is gone', { tokenFile: '/nowhere/token.txt' }, /token file \/nowhere\/token\.txt/],
  ['an invalid destination', { url: 'ftp://example.org' }, /forward\.json/],
])('with %s the host stores and shows, and says what is not sent', async (_what, wrong, words) => {
  const dataDir = mkdtempSync(join(tmpdir(), 'elbowroom-host-'));
  const right = { url: 'http://127.0.0.1:1', org: 'elbowroom', bucket: 'elbowroom', boat: 'Invented' };
  writeFileSync(join(dataDir, 'forward.json'), JSON.stringify({ ...right, ...wrong }));
  const host = await runHost({ dataDir, pagePort: 0, nodes: [] });
  try {
    const { alerts } = await (await fetch(new URL('/api/now', host.page))).json();
    expect(alerts).toMatchObject([
      { rule: 'forward-not-started', priority: 'caution', message: expect.stringMatching(words) },
    ]);
  } finally {
    await host.close();
    rmSync(dataDir, { recursive: true });
  }
});

describe('a host that starts unattended', () => {
  const inFolder = async (
    files: Readonly<Record<string, string>>,
    look: (dataDir: string) => Promise<void>,
  ): Promise<void> => {
    const dataDir = mkdtempSync(join(tmpdir(), 'elbowroom-host-'));
    try {
      for (const [name, text] of Object.entries(files)) writeFileSync(join(dataDir, name), text);
      await look(dataDir);
    } finally {
      rmSync(dataDir, { recursive: true });
    }
  };
  const start = (dataDir: string, more = {}) =>
    runHost({ dataDir, pagePort: 0, nodes: [], unattended: true, ...more });
  const nowOf = async (host: Awaited<ReturnType<typeof runHost>>) =>
    (await (await fetch(new URL('/api/now', host.page))).json()) as { alerts: unknown; degrees: string };
  const alertOf = (rule: string, message: RegExp) => [
    { rule, priority: 'warning', message: expect.stringMatching(message) },
  ];
  const good = 'settings: 1\ndegrees: fahrenheit # as we like it\n';
  const slip = 'settings: 1\ndegrees: [\n';

  it('runs with the settings of its last good start when host.yaml has a mistake, and says so', () =>
    inFolder({ 'host.yaml': good }, async (dataDir) => {
      const first = await start(dataDir);
      expect(await nowOf(first)).toMatchObject({ degrees: 'fahrenheit', alerts: [] });
      await first.close();
      writeFileSync(join(dataDir, 'host.yaml'), slip);
      for (const _again of [1, 2]) {
        const host = await start(dataDir);
        expect(await nowOf(host)).toMatchObject({
          degrees: 'fahrenheit',
          alerts: alertOf('settings-not-read', /last good start.*host\.yaml/s),
        });
        await host.close();
      }
      expect(readFileSync(join(dataDir, 'host.yaml'), 'utf8')).toBe(slip);
    }));

  it('does not bring back settings whose file was removed before a good start', () =>
    inFolder({ 'host.yaml': good }, async (dataDir) => {
      await (await start(dataDir)).close();
      rmSync(join(dataDir, 'host.yaml'));
      await (await start(dataDir)).close();
      writeFileSync(join(dataDir, 'host.yaml'), slip);
      const host = await start(dataDir);
      expect(await nowOf(host)).toMatchObject({
        degrees: 'celsius',
        alerts: alertOf('settings-not-read', /without outputs/),
      });
      await host.close();
    }));

  it('runs without outputs when there never was a good one', () =>
    inFolder({ 'host.yaml': slip }, async (dataDir) => {
      const host = await start(dataDir);
      expect((await nowOf(host)).alerts).toMatchObject(alertOf('settings-not-read', /without outputs/));
      await host.close();
    }));

  const acknowledged = async (host: Awaited<ReturnType<typeof runHost>>) => {
    const alert = '/api/nodes/host/alerts/host-access:not-read/acknowledge';
    return (await fetch(new URL(alert, host.page), { method: 'POST' })).status;
  };
  const wide = { pageListen: '0.0.0.0' };
  it('listens on this computer only, shows and takes no orders, while access.json cannot be read', () =>
    inFolder({ 'access.json': '{"passPhrases":' }, async (dataDir) => {
      const host = await start(dataDir, wide);
      expect(new URL(host.page ?? '').hostname).toBe('127.0.0.1');
      expect((await nowOf(host)).alerts).toMatchObject(
        alertOf('access-not-read', /access\.json is not what/),
      );
      expect(await acknowledged(host)).toBe(403);
      await host.close();
    }));

  it('listens on this computer only, and takes no orders, where a wide page has lost its access file', () =>
    inFolder({}, async (dataDir) => {
      const host = await start(dataDir, wide);
      expect(await acknowledged(host)).toBe(403);
      expect(new URL(host.page ?? '').hostname).toBe('127.0.0.1');
      expect((await nowOf(host)).alerts).toMatchObject(alertOf('access-not-read', /without a pass-phrase/));
      await host.close();
    }));

  const rulesOf = async (host: Awaited<ReturnType<typeof runHost>>) =>
    ((await nowOf(host)).alerts as { rule: string; state: string }[]).map(
      ({ rule, state }) => `${rule} ${state}`,
    );
  it.each([
    ['host.yaml', good, slip, 'settings-damaged'],
    ['access.json', undefined, '{"passPhrases":', 'access-damaged'],
  ])(
    'says within seconds that %s was damaged while it runs, and when it is right again',
    (name, right, wrong, rule) =>
      inFolder(right === undefined ? {} : { [name]: right }, async (dataDir) => {
        const host = await start(dataDir);
        try {
          expect(await rulesOf(host)).toEqual([]);
          writeFileSync(join(dataDir, name), wrong);
          await expect.poll(() => rulesOf(host), { timeout: 10_000 }).toEqual([`${rule} unacknowledged`]);
          if (right === undefined) rmSync(join(dataDir, name));
          else writeFileSync(join(dataDir, name), right);
          await expect.poll(() => rulesOf(host), { timeout: 10_000 }).toEqual([`${rule} rectified`]);
        } finally {
          await host.close();
        }
      }),
  );

  it('says within seconds that a page on the network has lost its access file, on this computer', () =>
    inFolder({ 'access.json': '{"passPhrases":{}}' }, async (dataDir) => {
      const host = await start(dataDir, wide);
      const here = `http://127.0.0.1:${new URL(host.page ?? '').port}/api/now`;
      const rules = async () =>
        ((await (await fetch(here)).json()).alerts ?? []).map((a: { rule: string }) => a.rule);
      try {
        expect(await rules()).toEqual([]);
        rmSync(join(dataDir, 'access.json'));
        await expect.poll(rules, { timeout: 10_000 }).toEqual(['access-damaged']);
      } finally {
        await host.close();
      }
    }));

  it.each([
    ['with other bytes in the middle', (bytes: Buffer) => bytes.fill(0xa5, 4096, 4096 * 3)],
    ['with its head gone', (bytes: Buffer) => bytes.fill(0, 0, 4096)],
    ['cut short', (bytes: Buffer) => bytes.subarray(0, 4096 * 2)],
  ])('moves a store %s aside, whole, and records in a new one', (_how, damage) =>
    inFolder({}, async (dataDir) => {
      await (await start(dataDir)).close();
      const path = join(dataDir, 'elbowroom.sqlite');
      const damaged = damage(readFileSync(path));
      writeFileSync(path, damaged);
      await expect(start(dataDir, { unattended: false })).rejects.toThrow(/elbowroom\.sqlite is/);
      const host = await start(dataDir);
      expect((await nowOf(host)).alerts).toMatchObject(alertOf('store-moved-aside', /moved to .*damaged-/));
      await host.close();
      const folders = readdirSync(dataDir).filter((name) => name.startsWith('damaged-'));
      expect(folders).toHaveLength(1);
      expect(readFileSync(join(dataDir, String(folders[0]), 'elbowroom.sqlite'))).toEqual(damaged);
      // The crew may not have looked before the next start.
      const next = await start(dataDir);
      expect((await nowOf(next)).alerts).toMatchObject(alertOf('store-moved-aside', /moved to .*damaged-/));
      await next.close();
      rmSync(join(dataDir, String(folders[0])), { recursive: true });
      const last = await start(dataDir, { unattended: false });
      expect((await nowOf(last)).alerts).toEqual([]);
      await last.close();
    }),
  );

  it('a file that was made readable counts as changed', () =>
    inFolder({ 'access.json': '{}' }, async (dataDir) => {
      const path = join(dataDir, 'access.json');
      const before = fileMark(path);
      // Until the clock of the file system has moved on.
      await expect
        .poll(() => {
          chmodSync(path, 0o600);
          return fileMark(path);
        })
        .not.toBe(before);
    }));

  it('ends all the same where a person typed it', () =>
    inFolder({ 'host.yaml': slip }, (dataDir) =>
      expect(start(dataDir, { unattended: false })).rejects.toThrow(/host\.yaml/),
    ));
});
