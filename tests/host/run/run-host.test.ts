import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { runHost } from '../../../host/run/run-host.js';

it.each([
  ['a token file that is gone', { tokenFile: '/nowhere/token.txt' }, /token file \/nowhere\/token\.txt/],
  ['a destination that is none', { url: 'ftp://example.org' }, /forward\.json/],
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
