import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import Fastify from 'fastify';
import { afterEach, beforeEach, describe, expect, it, test } from 'vitest';
import { writeKit } from '../../../host/kit-file/kit-file.js';
import { editableKit, KitKeeper } from '../../../host/kit-file/kit-keeper.js';
import { historyRoutes } from '../../../host/serve/history-routes.js';
import { kitRoutes } from '../../../host/serve/kit-routes.js';
import { setErrorHandler } from '../../../host/serve/page-app.js';
import { openStore } from '../../../host/store/index.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { loadKit, systemClock } from '../../../node/index.js';

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-written-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('setpoints from the page', () => {
  const limit = (raiseAtC: number) => ({ raiseAtC, clearAtC: raiseAtC - 5, holdS: 2 });
  const pageOf = (kitPath: string, log?: (words: string) => void) => {
    const app = Fastify();
    setErrorHandler(app);
    const keeper = new KitKeeper({ kitPath, clock: systemClock, log });
    kitRoutes(app, { keeper, store: undefined, clock: systemClock });
    return app;
  };
  const change = async (kitPath: string) => {
    const app = pageOf(kitPath);
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
    expect(answer.json().message).toMatch(/was not changed.*Correct it first/);
    expect(answer.json().message).toMatch(where);
    expect(answer.json().message).not.toContain('elbowroom wiring');
    expect(readFileSync(kitPath, 'utf8')).toBe(text);
    expect(readdirSync(folder)).toEqual(['kit.yaml']);
  });

  it('into a file that is not there are refused', async () => {
    expect((await change(join(folder, 'none.yaml'))).statusCode).toBe(409);
    expect(editableKit(join(folder, 'none.yaml'))).toMatchObject({
      message: expect.stringMatching(/Cannot read .*none\.yaml/),
    });
  });

  it('of two probes, asked at once, are both kept, and so are both backups', async () => {
    const kitPath = join(folder, 'kit.yaml');
    writeFileSync(kitPath, benchKitYaml);
    const app = pageOf(kitPath);
    const ask = (probe: string, raiseAtC: number) => {
      const payload = { probe, limits: { warning: limit(raiseAtC - 9), alarm: limit(raiseAtC) } };
      return app.inject({ method: 'POST', url: '/api/kit/limits', payload });
    };
    const answers = await Promise.all([ask('port-elbow', 71), ask('starboard-elbow', 72)]);
    expect(answers.map(({ statusCode }) => statusCode)).toEqual([200, 200]);
    const alarms = loadKit(kitPath).probes.map(({ id, limits }) => [id, limits?.alarm?.raiseAtC]);
    expect(alarms).toContainEqual(['port-elbow', 71]);
    expect(alarms).toContainEqual(['starboard-elbow', 72]);
    const [first, second] = answers.map((answer) => answer.json().backup as string);
    expect(readFileSync(first ?? '', 'utf8')).toBe(benchKitYaml);
    expect(readFileSync(second ?? '', 'utf8')).toContain('raiseAtC: 71');
    expect(readFileSync(second ?? '', 'utf8')).not.toContain('raiseAtC: 72');
  });

  it('leave ten old files and the one from before the first edit; what else goes is reported, and only our own goes', async () => {
    const kitPath = join(folder, 'kit.yaml');
    writeFileSync(kitPath, benchKitYaml);
    writeFileSync(`${kitPath}.mine.bak`, 'by hand');
    const shown: string[] = [];
    const app = pageOf(kitPath, (words) => shown.push(words));
    for (let i = 0; i < 14; i++) {
      const text = `${benchKitYaml}\n# edit ${i}\n`;
      const answer = await app.inject({ method: 'POST', url: '/api/kit', payload: { text } });
      expect(answer.statusCode).toBe(200);
    }
    const backups = readdirSync(folder).filter((name) => /^kit\.yaml\..*\.bak$/.test(name));
    const said = backups.map((name) => readFileSync(join(folder, name), 'utf8').trim().split('\n').at(-1));
    expect(backups).toHaveLength(12);
    expect(readFileSync(`${kitPath}.original.bak`, 'utf8')).toBe(benchKitYaml);
    expect(readFileSync(`${kitPath}.mine.bak`, 'utf8')).toBe('by hand');
    // Of the files before edits 1 to 13, the last ten: those of edits 3 to 12.
    expect(said).toEqual(expect.arrayContaining(Array.from({ length: 10 }, (_, i) => `# edit ${i + 3}`)));
    expect(shown).toHaveLength(3);
    expect(shown[0]).toMatch(/^Old backups of the kit file were removed: .*kit\.yaml\..*\.bak\.$/);
  });
});

test('the backup just made stays, though the clock of a computer that woke in 1970 sorts it first', async () => {
  const kitPath = join(folder, 'kit.yaml');
  writeFileSync(kitPath, benchKitYaml);
  for (let i = 0; i < 12; i++)
    await writeKit(kitPath, `${benchKitYaml}\n# edit ${i}\n`, Date.now() + i * 1000);
  const { backup, dropped } = await writeKit(kitPath, benchKitYaml, 5_000);
  expect(backup).toMatch(/1970/);
  expect(readFileSync(backup ?? '', 'utf8')).toContain('# edit 11');
  expect(dropped).toHaveLength(1);
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
    setErrorHandler(app);
    historyRoutes(app, store, systemClock);
    const payload = {
      at: Date.now() + fromNowMs,
      engine: 'port',
      work: 'impeller changed',
      restartsBaseline: true,
    };
    const answer = await app.inject({ method: 'POST', url: '/api/service', payload });
    expect(answer.statusCode).toBe(code);
    expect(store.service.entries()).toHaveLength(code === 200 ? 1 : 0);
    if (code === 400) expect(answer.json().message).toContain('is in the future');
    store.close();
  });
});
