import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Fastify from 'fastify';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { historyRoutes } from '../../../host/serve/history-routes.js';
import { editableKit, kitRoutes } from '../../../host/serve/kit-routes.js';
import { openStore } from '../../../host/store/index.js';
import { benchKitYaml, systemClock } from '../../../node/index.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-written-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('setpoints from the page', () => {
  const limit = (raiseAtC: number) => ({ raiseAtC, clearAtC: raiseAtC - 5, holdS: 2 });
  const change = async (kitPath: string) => {
    const app = Fastify();
    kitRoutes(app, { kitPath, store: undefined, clock: systemClock });
    const payload = { probe: 'port-elbow', limits: { warning: limit(65), alarm: limit(74) } };
    return app.inject({ method: 'POST', url: '/api/kit/limits', payload });
  };

  it('are written into a good kit file', async () => {
    const kitPath = join(folder, 'kit.yaml');
    writeFileSync(kitPath, benchKitYaml);
    expect((await change(kitPath)).statusCode).toBe(200);
    expect(readFileSync(kitPath, 'utf8')).toContain('raiseAtC: 74');
  });

  it.each([
    ['is no YAML', 'probes:\n  - id: port-elbow\n  bad: [', /line \d+/],
    ['is no kit', benchKitYaml.replace(/resistorOhms: \d+/, 'resistorOhms: ten'), /line \d+.*resistorOhms/s],
  ])('into a file that %s are refused, with where it is broken and what to do', async (_, text, where) => {
    const kitPath = join(folder, 'kit.yaml');
    writeFileSync(kitPath, text);
    const answer = await change(kitPath);
    expect(answer.statusCode).toBe(409);
    expect(answer.json().error).toBe('kit-broken');
    expect(answer.json().message).toMatch(/was not changed.*Mend it first/);
    expect(answer.json().message).toMatch(where);
    expect(readFileSync(kitPath, 'utf8')).toBe(text);
    expect(readdirSync(folder)).toEqual(['kit.yaml']);
  });

  it('into a file that is not there are refused', async () => {
    expect((await change(join(folder, 'none.yaml'))).statusCode).toBe(409);
    expect(editableKit(join(folder, 'none.yaml'))).toMatchObject({
      message: expect.stringMatching(/Cannot read .*none\.yaml/),
    });
  });
});

describe('work from the page', () => {
  it.each([
    [-3_600_000, 200],
    [3 * 3_600_000, 200],
    [25 * 3_600_000, 400],
    [10 * 365 * 24 * 3_600_000, 400],
  ])('dated %d ms from now is answered with %d', async (fromNowMs, code) => {
    const store = openStore(folder, systemClock);
    const app = Fastify();
    historyRoutes(app, store, systemClock);
    const payload = {
      at: Date.now() + fromNowMs,
      engine: 'port',
      work: 'impeller changed',
      restartsBaseline: true,
    };
    const answer = await app.inject({ method: 'POST', url: '/api/service', payload });
    expect(answer.statusCode).toBe(code);
    expect(store.serviceLog()).toHaveLength(code === 200 ? 1 : 0);
    if (code === 400) expect(answer.json().message).toContain('is yet to come');
    store.close();
  });
});
