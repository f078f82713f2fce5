import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { Readable, Writable } from 'node:stream';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { stationPressureOf } from '../../../calibration/index.js';
import { mapLines } from '../../../host/cli/convert/line-stream.js';
import { convertCommand } from '../../../host/cli/convert-command.js';
import { fitCommand } from '../../../host/cli/fit-command.js';
import { pressureFrom } from '../../../host/cli/place-options.js';
import { runCommandHere } from './run-command-here.js';

const convert = (...args: string[]) => runCommandHere(convertCommand, 'convert', ...args);
const answerOf = async (...args: string[]) => JSON.parse((await convert(...args, '--json')).stdout);

describe('elbowroom convert, one value', () => {
  it('thermocouple both ways, with a cold junction', async () => {
    // NIST SRD 60, type K: 4.096 mV at 100 C, 1.000 mV at 25 C, half a digit is 0.012 C.
    expect((await answerOf('thermocouple', '--type', 'K', '--emf-mv', '4.096')).temperatureC).toBeCloseTo(
      100,
      1,
    );
    expect(
      (await answerOf('thermocouple', '--type', 'K', '--emf-mv', '3.096', '--cold-junction-c', '25'))
        .temperatureC,
    ).toBeCloseTo(100, 1);
    expect((await answerOf('thermocouple', '--type', 'K', '--temperature-c', '100')).emfMv).toBeCloseTo(
      4.096,
      3,
    );
    expect((await answerOf('thermocouple', '--type', 'K', '--emf-mv', '-5.891')).temperatureC).toBeCloseTo(
      -200,
      1,
    );
  });

  it('thermistor, divider, AD8495, MAX31855 and boiling water', async () => {
    // 10 kohm at 25 C by definition; 25.04 C by hand from 1/T = 1/298.15 + ln(R / 10000) / 3977.
    const beta = ['--r25-ohms', '10000', '--beta-k', '3977'];
    expect((await answerOf('thermistor', '--ohms', '10000', ...beta)).temperatureC).toBeCloseTo(25, 9);
    // Coefficients and the point 25 kohm at 5 C: Stanford Research Systems thermistor calculator (tests/tables/thermistors/equations.json).
    const sh = '0.002108508173,7.979204727e-05,6.535076315e-07';
    expect(
      (await answerOf('thermistor', '--ohms', '25000', '--steinhart-hart', sh)).temperatureC,
    ).toBeCloseTo(5, 6);
    // R = 10 kohm x counts / (1023 - counts), by hand.
    const half = await answerOf(
      'divider',
      '--counts',
      '512',
      '--full-scale',
      '1023',
      '--resistor-ohms',
      '10000',
    );
    expect(half.ohms).toBeCloseTo((10_000 * 512) / 511, 9);
    const high = ['--thermistor-side', 'high', ...beta];
    const warm = await answerOf('divider', '--counts', '512', '--resistor-ohms', '10000', ...high);
    // Code 512 of 1024 is the middle of its step, 512.5, as the node reads it.
    expect(warm.ohms).toBeCloseTo((10_000 * (1024 - 512.5)) / 512.5, 6);
    expect(warm.temperatureC).toBeCloseTo(25.04, 2);
    // Analog Devices AN-1087, table of ideal outputs, from memory.
    expect((await answerOf('ad8495', '--volts', '0.504')).temperatureC).toBeCloseTo(100, 1);
    // The chip's straight line of 41.276 uV/C lies within half a degree of type K there (NIST SRD 60: 3.096 mV from 25 to 100 C).
    expect(
      (await answerOf('max31855', '--reported-c', '100', '--cold-junction-c', '25')).temperatureC,
    ).toBeCloseTo(100, 0);
    // 99.9743 C: IAPWS R7-97(2012), region 4. 977.726 hPa at 300 m: ISO 2533. The third by both formulas, computed
    // independently in Python: 984.284 hPa, 99.164 C.
    expect((await answerOf('boiling', '--pressure-hpa', '1013.25')).temperatureC).toBeCloseTo(99.9743, 3);
    expect((await answerOf('boiling', '--altitude-m', '300')).stationPressureHpa).toBeCloseTo(977.726, 2);
    // 1 inHg is 33.8639 hPa, 1 mmHg 1.33322 hPa, 1 ft 0.3048 m: NIST SP 811, Appendix B.8.
    for (const [typed, hpa] of [
      ['29.1inHg', 985.439],
      ['739 mmHg', 985.252],
      ['985mbar', 985],
    ] as const)
      expect((await answerOf('boiling', '--pressure-hpa', typed)).stationPressureHpa).toBeCloseTo(hpa, 2);
    for (const report of ['1020', '1020hPa'])
      expect(await answerOf('boiling', '--qnh-hpa', report, '--altitude-m', '984.252ft')).toEqual(
        await answerOf('boiling', '--qnh-hpa', '1020', '--altitude-m', '300'),
      );
    expect((await answerOf('boiling', '--qnh-hpa', '1020', '--altitude-m', '300')).temperatureC).toBeCloseTo(
      99.16,
      2,
    );
  });

  it('says it to people with a unit', async () => {
    expect((await convert('boiling', '--pressure-hpa', '1013.25')).stdout).toBe('99.9743 C, 1013.25 hPa\n');
  });

  it.each([
    [['thermocouple', '--type', 'K'], /Give --emf-mv or --temperature-c/],
    [['thermocouple', '--type', 'K', '--emf-mv', '1', '--temperature-c', '2'], /Give only one/],
    [['thermocouple', '--type', 'K', '--emf-mv', 'x'], /--emf-mv: "x" is not a number/],
    [['thermocouple', '--type', 'K', '--emf-mv', '60'], /60 mV is outside type K/],
    [['thermocouple', '--type', 'B', '--emf-mv', '0'], /two temperatures/],
    [['thermocouple', '--type', 'Q', '--emf-mv', '1'], /type/],
    [['thermistor', '--ohms', '5000'], /Say which thermistor/],
    [['thermistor', '--ohms', '5000', '--r25-ohms', '10000'], /belong together/],
    [['thermistor', '--ohms', '5000', '--steinhart-hart', '1,2'], /takes 3 numbers/],
    [['divider', '--counts', '1023', '--resistor-ohms', '10000'], /thermistor is open/],
    [['boiling', '--pressure-hpa', '1000', '--altitude-m', '3'], /pressure of the place itself/],
    [['boiling', '--qnh-hpa', '1000'], /give --altitude-m with it/],
    [['boiling', '--pressure-hpa', '14.7psi'], /--pressure-hpa: "psi" is no unit of pressure/],
    [['boiling', '--pressure-hpa', '29.9'], /--pressure-hpa: 29\.9 looks like inHg. Write 29\.9inHg/],
    [['boiling', '--pressure-hpa', '760'], /--pressure-hpa: 760 looks like mmHg/],
    [['boiling', '--pressure-hpa', '760', '--json'], /or 760hPa if it is that/],
    [['boiling', '--qnh-hpa', '30.1', '--altitude-m', '300'], /--qnh-hpa: 30\.1 looks like inHg/],
    [['boiling', '--altitude-m', '2 miles'], /--altitude-m, in metres or with its unit such as 980ft/],
    [['boiling', '--pressure-hpa', '1000', '--column', '2'], /--column needs a quantity given as -/],
  ])('%j ends with 2', async (args, message) => {
    const outcome = await convert(...args);
    expect(outcome).toMatchObject({ exitCode: 2, stdout: '' });
    expect(outcome.stderr).toMatch(message);
  });
});

describe('lines in, lines out', () => {
  const run = async (chunks: readonly string[], lineOf: (line: string, number: number) => string) => {
    let written = '';
    const output = new Writable({
      write: (chunk, _encoding, done) => {
        written += String(chunk);
        setImmediate(done);
      },
    });
    const failure = await mapLines(Readable.from(chunks), output, lineOf).catch(
      (error: Error) => error.message,
    );
    await new Promise<void>((done) => output.end(done));
    return { written, failure };
  };

  it('keeps the order however the bytes arrive, with or without a last newline, and takes off a CR', async () => {
    const double = (line: string) => `${2 * Number(line)}`;
    for (const chunks of [['1\n2\n3\n'], ['1', '\n2\r', '\n', '3'], ['1\r\n', '2\n3\n']])
      expect(await run(chunks, double)).toEqual({ written: '2\n4\n6\n', failure: undefined });
    expect(await run([], double)).toEqual({ written: '', failure: undefined });
  });

  it('100,000 lines stay in order against a slow reader', async () => {
    const lines = Array.from({ length: 100_000 }, (_, i) => `${i}`);
    const { written } = await run([`${lines.join('\n')}\n`], (line) => line);
    expect(written).toBe(`${lines.join('\n')}\n`);
  });

  it('a bad line is named, and what came before it is written', async () => {
    const outcome = await run(['1\n2\nx\n4\n'], (line, number) => {
      if (line === 'x') throw new Error(`line ${number}`);
      return line;
    });
    expect(outcome).toEqual({ written: '1\n2\n', failure: 'line 3' });
  });
});

describe('elbowroom fit', () => {
  let folder: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'elbowroom-fit-'));
  });
  afterEach(() => rmSync(folder, { recursive: true, force: true }));
  const fitTo = (csv: string, ...args: string[]) => {
    const file = join(folder, 'points.csv');
    writeFileSync(file, csv);
    return runCommandHere(fitCommand, 'fit', '--points', file, ...args);
  };

  it('a line with its contract: parameters, uncertainties, correlation, residual sd, predictions', async () => {
    const outcome = await fitTo(
      'x,y\n0,1\n1,3.1\n2,4.9\n3,7\n',
      '--model',
      'line',
      '--at',
      '4',
      '--at',
      '-1',
      '--json',
    );
    const found = JSON.parse(outcome.stdout);
    // By hand: sxx = 5, sxy = 9.9, so slope 1.98 and intercept 4 - 1.98 * 1.5; residuals -0.03, 0.09, -0.09, 0.03.
    expect(found.parameters.slope).toBeCloseTo(1.98, 12);
    expect(found.parameters.intercept).toBeCloseTo(1.03, 12);
    expect(found.residualStandardDeviation).toBeCloseTo(Math.sqrt(0.018 / 2), 12);
    expect(found.standardUncertainties.slope).toBeCloseTo(Math.sqrt(0.009 / 5), 12);
    expect(found.correlation).toBeCloseTo(-1.5 / Math.sqrt(1.25 + 2.25), 9);
    expect(found.predictions.map((p: { x: number }) => p.x)).toEqual([4, -1]);
    expect(found.predictions[0].y).toBeCloseTo(8.95, 12);
    expect(found.predictions[0].u).toBeCloseTo(Math.sqrt(0.009 * (1 / 4 + 2.5 ** 2 / 5)), 12);
  });

  it('steinhart-hart predicts at ohms, and beta3 names its three parameters', async () => {
    const points = 'temperatureC,resistanceOhms\n5,25000\n25,10000\n45,4000\n65,1700\n';
    const sh = JSON.parse(
      (await fitTo(points, '--model', 'steinhart-hart', '--at', '10000', '--json')).stdout,
    );
    expect(Object.keys(sh.parameters)).toEqual(['A', 'B', 'C']);
    expect(sh.predictions[0]).toMatchObject({ resistanceOhms: 10_000 });
    expect(sh.predictions[0].temperatureC).toBeCloseTo(25, 0);
    // NTCLE100E3 datasheet, document 29049.
    const vishay = 'temperatureC,resistanceOhms\n0,32554\n25,10000\n50,3605\n75,1481\n';
    const beta3 = JSON.parse((await fitTo(vishay, '--model', 'beta3', '--json')).stdout);
    expect(Object.keys(beta3.parameters)).toEqual(['b1', 'b2', 'b3']);
  });

  it.each([
    ['x,y\n1,2\n2,b\n', ['--model', 'line'], /points\.csv:3, y: "b" is not a number/],
    ['x,z\n1,2\n', ['--model', 'line'], /points\.csv:1: no column "y"/],
    ['x,y\n1,2\n3\n', ['--model', 'line'], /points\.csv:3: 1 cells, but the first line names 2/],
    ['x,y\n1,2\n', ['--model', 'line'], /1 points cannot carry 2 parameters/],
    ['x,y\n1,2\n1,3\n', ['--model', 'line'], /Only 1 different values of x/],
    ['', ['--model', 'line'], /is empty/],
    ['x,y\n', ['--model', 'line'], /names its columns and has no points below them/],
    ['temperatureC,resistanceOhms\n5,0\n6,1\n7,2\n', ['--model', 'steinhart-hart'], /above zero/],
    ['x,y\n1,2\n2,3\n', ['--model', 'polynomial', '--degree', '1.5'], /whole number/],
  ])('%j ends with 2', async (csv, args, message) => {
    const outcome = await fitTo(csv, ...args);
    expect(outcome.exitCode).toBe(2);
    expect(outcome.stderr).toMatch(message);
    expect(outcome.stdout).toBe('');
  });

  it('a file that is not there ends with 3', async () => {
    const outcome = await runCommandHere(
      fitCommand,
      'fit',
      '--points',
      join(folder, 'none.csv'),
      '--model',
      'line',
    );
    expect(outcome).toMatchObject({ exitCode: 3, stderr: expect.stringMatching(/Cannot read .*none\.csv/) });
  });
});

it('an altitude may be given in feet where a bath is calibrated', () => {
  const pressure = pressureFrom({ altitudeM: '1000ft' });
  // 1,000 ft are 304.8 m; ISO 2533 gives 977.166 hPa there (computed by its formula).
  expect(pressure && stationPressureOf(pressure)).toBeCloseTo(977.166, 2);
  expect(() => pressureFrom({ altitudeM: '3 fathoms' })).toThrow(/--altitude-m.*such as 980ft/);
});
