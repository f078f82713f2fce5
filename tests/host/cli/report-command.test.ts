import { readFileSync, writeFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { importCommand } from '../../../host/cli/import-command.js';
import { planCommand } from '../../../host/cli/plan-command.js';
import { reportCommand } from '../../../host/cli/report-command.js';
import { openStore } from '../../../host/store/index.js';
import { systemClock } from '../../../node/index.js';
import { at, folder, withOwnFolder } from './own-folder.js';
import { runCommandHere } from './run-command-here.js';

withOwnFolder();
const startAt = Date.parse('2026-05-01T08:00:00Z');

describe('elbowroom report', () => {
  const report = (...args: string[]) =>
    runCommandHere(reportCommand, 'report', ...args, '--data-dir', at('data'));
  const writeHistory = () => {
    const store = openStore(at('data'), systemClock);
    const now = Date.now();
    const hour = 3_600_000;
    store.bulk.runSpans([
      { node: 'n', engine: 'port', startAt: now - 50 * hour, endAt: now - 49 * hour },
      { node: 'n', engine: 'port', startAt: now - 3 * hour, endAt: now - 2 * hour },
    ]);
    store.close();
  };

  it('writes the last voyage as one HTML file', async () => {
    writeHistory();
    const { exitCode, stderr } = await report('--voyage', 'last', '--out', at('r.html'));
    expect(exitCode).toBe(0);
    expect(stderr).toMatch(/Wrote .*r\.html/);
    expect(readFileSync(at('r.html'), 'utf8')).toMatch(/^<!doctype html>[\s\S]*<\/html>\n$/);
  });

  it('lists voyages, the last one first, and takes the number it lists', async () => {
    writeHistory();
    const { voyages } = JSON.parse((await report('--list', '--json')).stdout);
    expect(voyages.length).toBe(2);
    expect(voyages[0].from).toBeGreaterThan(voyages[1].to);
    const { span } = JSON.parse((await report('--voyage', '2', '--json')).stdout);
    expect(span).toEqual(voyages[1]);
  });

  it.each([
    [['--voyage', 'next'], 2, /neither "last" nor a whole number/],
    [['--voyage', '9'], 2, /holds 2 voyage/],
    [['--from', '2026-05-02', '--to', '2026-05-01'], 2, /must come after/],
    [['--from', 'May'], 2, /is not a valid time/],
    [['--certificates', '/nowhere/at/all'], 2, /cannot be read/],
  ])('refuses %j', async (args, code, words) => {
    writeHistory();
    const { exitCode, stderr } = await report(...args);
    expect(stderr).toMatch(words);
    expect(exitCode).toBe(code);
  });

  it('shows the thermometers’ certificates of a folder that holds an unfinished session and a pressure probe’s, too', async () => {
    writeHistory();
    const made = 'tests/tables/certificates/port-elbow@1.json';
    writeFileSync(at('port-elbow@1.json'), readFileSync(made));
    writeFileSync(at('unfinished-session.json'), '{"saved":2}');
    writeFileSync(at('port-pump@1.json'), '{"pressureCertificate":1}');
    const { exitCode, stdout, stderr } = await report('--certificates', folder, '--json');
    expect(exitCode).toBe(0);
    expect(JSON.parse(stdout).certificates).toHaveLength(1);
    expect(stderr).toContain('port-pump@1.json is of a pressure probe');
  });

  it('of a store that has only imports asks for the kit, and with it has names, limits, plots and hours', async () => {
    const csv = ['time,probe,temperatureC,quality'];
    for (let s = 0; s < 600; s++)
      csv.push(`${new Date(startAt + s * 1000).toISOString()},main-elbow,76,good`);
    writeFileSync(at('season.csv'), csv.join('\n'));
    await runCommandHere(importCommand, 'import', at('season.csv'), '--data-dir', at('data'));
    writeFileSync(at('a.yaml'), 'plan: 1\nboat: Marsh Harrier\nengines: [{ id: main, name: Main }]\n');
    await runCommandHere(planCommand, 'plan', '--answers', at('a.yaml'), '--out', folder);
    const span = ['--from', '2026-05-01', '--to', '2026-05-02', '--out', at('r.html')];
    const plain = await report(...span);
    expect(plain.stderr).toMatch(/does not know names, places and limits of main-elbow.*--kit kit\.yaml/);
    expect(readFileSync(at('r.html'), 'utf8')).toMatch(/<h3>Probes of unknown place<\/h3><svg/);
    const known = await report(...span, '--kit', at('kit.yaml'));
    expect(known.stderr).not.toMatch(/does not know/);
    const html = readFileSync(at('r.html'), 'utf8');
    expect(html).toMatch(/<h3>Wet elbows and sea water<\/h3><svg/);
    for (const words of ['Marsh Harrier', 'Main wet elbow', 'alarm 75 °C']) expect(html).toContain(words);
    expect(html).not.toMatch(/Starboard/);
  });

  it('names the file that is not a certificate', async () => {
    writeHistory();
    writeFileSync(at('bad.json'), '{}');
    expect((await report('--certificates', folder)).stderr).toMatch(/bad\.json/);
  });
});
