import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { progressLine } from '../../../host/calibrate/progress-display.js';
import { instructions } from '../../../host/calibrate/words.js';
import { commissionCommand } from '../../../host/cli/commission-command.js';
import { convertCommand } from '../../../host/cli/convert-command.js';
import { degreesCommand } from '../../../host/cli/degrees-command.js';
import { planCommand } from '../../../host/cli/plan-command.js';
import { replayCommand } from '../../../host/cli/replay-command.js';
import { wiringText } from '../../../host/cli/wiring-text.js';
import { degreesIn } from '../../../host/wording/degrees.js';
import { kitYaml } from '../replay/plant-history.js';
import { runCommandHere } from './run-command-here.js';

const fahrenheit = degreesIn('fahrenheit');
/** What would be a temperature in Celsius: a figure with the letter behind it, or a heading that ends in it. */
const celsius = /\d C\b|°C|\bC\/|\/C\b/;

let folder: string;
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-fahrenheit-'));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

describe('elbowroom --degrees fahrenheit', () => {
  it('wiring: 100 C is 212 F, 0.5 C of uncertainty are 0.90 F, and a fault names its degrees too', () => {
    const text = wiringText(
      {
        board: { state: 'connected', detail: 'here' },
        engines: [
          { id: 'port', name: 'Port' },
          { id: 'starboard', name: 'Starboard' },
        ],
        running: {},
        referencePin: 'well',
        probes: [
          {
            probe: 'port-exhaust',
            name: 'Port exhaust gas',
            input: '0x67',
            coldJunctionC: 25,
            temperatureC: 100,
            uncertaintyC: 0.5,
            noiseC: 0.1,
            readingsPerS: 10,
            counted: { good: 100, doubtful: 0, missing: 0 },
            quality: 'good',
            faults: [{ fault: 'swapped', message: 'It reads 30 K below its own terminals.', check: 'Swap.' }],
          },
        ],
        faults: [],
      },
      { colour: false, degrees: fahrenheit, width: 130 },
    );
    const [heading = '', row = ''] = text.split('\n').slice(3, 5);
    expect(heading).toMatch(/cold jn +F +± \(k=1\) +noise F/);
    expect(row).toMatch(/ 77\.0 +212\.00 +0\.90 +0\.180 /);
    expect(text).toContain('It reads 54 F below');
    expect(text).not.toMatch(celsius);
  });

  it('calibrate and verify: the bath is a point, the trend a distance', () => {
    const progress = {
      probe: 'sea',
      readC: 99.5,
      meanC: 99.5,
      trendCPerMin: 0.5,
      trendUncertaintyCPerMin: 0.1,
      scatterC: 0.1,
      used: 10,
      heldS: 10,
      settled: false,
      progress: 0.5,
      outliers: 0,
      restarts: 0,
    };
    const line = progressLine(progress as unknown as Parameters<typeof progressLine>[0], 3, fahrenheit);
    expect(line).toContain('211.10 F');
    expect(line).toContain('+0.90 F/min');
    const bath = { kind: 'boiling', temperatureC: 100, conditions: { stationPressureHpa: 1013.25 } };
    expect(instructions(bath as unknown as Parameters<typeof instructions>[0], fahrenheit)).toContain(
      'Boiling water (212.00 F at 1013.3 hPa)',
    );
  });

  it('convert: one value is for a person, and --json for programs stays Celsius', async () => {
    const boiling = (...more: string[]) =>
      runCommandHere(convertCommand, 'convert', 'boiling', '--altitude-m', '0', ...more);
    // 99.974 C at 1013.25 hPa on ITS-90 (IAPWS); a degree of Celsius is 1.8 of Fahrenheit.
    expect(Number.parseFloat((await boiling('--degrees', 'fahrenheit')).stdout)).toBeCloseTo(211.95, 1);
    expect((await boiling('--degrees', 'fahrenheit')).stdout).toMatch(/ F, /);
    expect(JSON.parse((await boiling('--degrees', 'fahrenheit', '--json')).stdout).temperatureC).toBeCloseTo(
      99.97,
      1,
    );
    const slope = ['convert', 'thermocouple', '--type', 'K', '--emf-mv', '0'];
    const perC = Number(/([\d.]+) uV\/C/.exec((await runCommandHere(convertCommand, ...slope)).stdout)?.[1]);
    const shown = await runCommandHere(convertCommand, ...slope, '--degrees', 'fahrenheit');
    expect(Number(/([\d.]+) uV\/F/.exec(shown.stdout)?.[1])).toBeCloseTo(perC / 1.8, 5);
  });

  it('plan: the table is in Fahrenheit, the kit file it writes in Celsius', async () => {
    writeFileSync(join(folder, 'a.yaml'), 'plan: 1\nboat: Marsh Harrier\n');
    const args = ['plan', '--answers', join(folder, 'a.yaml'), '--degrees', 'fahrenheit'];
    const { stdout } = await runCommandHere(planCommand, ...args, '--out', join(folder, 'kit'));
    expect(stdout).toMatch(/167 alarm +1472 /);
    // What a part is called has its maker's own degrees; everything before the list of parts is the reader's.
    expect(stdout.slice(0, stdout.indexOf('\nParts\n'))).not.toMatch(celsius);
    // The sheet is wider than a terminal, so its lines and titles break elsewhere; its words are the same.
    const words = (text: string) => text.split(/\s+/).sort().join(' ');
    const sheet = readFileSync(join(folder, 'kit', 'plan.txt'), 'utf8');
    expect(words(sheet) === words(stdout)).toBe(true);
    expect(readFileSync(join(folder, 'kit', 'kit.yaml'), 'utf8')).toContain('raiseAtC: 75');
  });

  it('replay and commission: alerts, evidence, limits and steps', async () => {
    const startAt = Date.parse('2026-05-01T08:00:00Z');
    const rows = Array.from({ length: 1200 }, (_, s) => {
      const at = new Date(startAt + s * 1000).toISOString();
      return `${at},port-elbow,${s > 600 ? 96.5 : 50}\n${at},sea,18`;
    });
    const kit = join(folder, 'kit.yaml');
    const csv = join(folder, 'log.csv');
    writeFileSync(kit, kitYaml);
    writeFileSync(csv, `time,probe,temperatureC\n${rows.join('\n')}\n`);
    const asked = ['--kit', kit, '--import', csv, '--degrees', 'fahrenheit'];
    const replayed = (await runCommandHere(replayCommand, 'replay', ...asked)).stdout;
    expect(replayed).toMatch(/ALARM/);
    expect(replayed).toMatch(/205\.7 F/);
    expect(replayed).toMatch(/2026-0[45]-\d\d \d\d:\d\d:\d\d[+-]\d\d:\d\d {2}/);
    expect(replayed).not.toMatch(celsius);
    const commissioned = await runCommandHere(commissionCommand, 'commission', ...asked, '--dry-run');
    expect(commissioned.stdout).toMatch(/\[open\]/);
    expect(commissioned.stderr).toMatch(/Note: this history/);
    expect(commissioned.stdout + commissioned.stderr).not.toMatch(celsius);
  });

  it('degrees keeps the choice for every later command, and shows it', async () => {
    const degrees = (...args: string[]) =>
      runCommandHere(degreesCommand, 'degrees', ...args, '--data-dir', folder);
    expect((await degrees()).stdout).toBe('celsius\n');
    expect((await degrees('fahrenheit')).stdout).toMatch(/^°F from now on, kept in .*host\.yaml/);
    expect((await degrees()).stdout).toBe('fahrenheit\n');
  });
});
