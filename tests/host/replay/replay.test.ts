import { createReadStream, mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { fullCsv, jsonLines, lineProtocol, shortCsv } from '../../../host/exchange/index.js';
import { ImportError } from '../../../host/exchange/read-rows.js';
import type { ProbeHistory, RecordedHistory } from '../../../host/replay/history.js';
import { passes } from '../../../host/replay/passes.js';
import { readImport } from '../../../host/replay/read-import.js';
import { replay } from '../../../host/replay/replay.js';
import { Plant } from '../../../node/bench/plant/plant.js';
import { guard, settingsFromKit, startGuard } from '../../../node/index.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import { kitYaml, recordPlant } from './plant-history.js';

const settings = settingsFromKit(parseKit(kitYaml, 'test kit'));
const startAt = Date.parse('2026-05-01T10:00:00Z');

/** Half an hour at cruise; at 20 min a bag over the port intake, gone after a minute. */
const bagged: RecordedHistory = recordPlant(new Plant({ seed: 2 }), startAt, 2000, (plant, s) => {
  if (s === 10) for (const engine of ['port', 'starboard'] as const) plant.setThrottle(engine, 0.75);
  if (s === 1200) plant.bagIntake('port');
  if (s === 1260) plant.clearIntake('port');
  if (s === 1800) for (const engine of ['port', 'starboard'] as const) plant.setThrottle(engine, 0);
});

describe('replay', () => {
  it('a bag over the port intake is one alert of the port elbow, with evidence, first actions and its end', () => {
    const { alerts, running } = replay(bagged, settings);
    expect(alerts).toHaveLength(1);
    expect(alerts[0]).toMatchObject({
      id: 'cooling:port',
      about: 'port-elbow',
      priority: 'alarm',
      state: 'rectified',
    });
    expect(alerts[0]?.at).toBeGreaterThan(startAt + 1_200_000);
    expect(alerts[0]?.at).toBeLessThan(startAt + 1_220_000);
    expect(Object.keys(alerts[0]?.evidence.thresholds ?? {})).not.toEqual([]);
    expect(alerts[0]?.actions.length).toBeGreaterThan(3);
    expect(running.map(({ engine, basis }) => [engine, basis])).toEqual([
      ['port', 'running-input'],
      ['starboard', 'running-input'],
    ]);
    expect(Math.abs((running[0]?.hours ?? 0) - 1790 / 3600)).toBeLessThan(0.002);
  });

  it('is the very reducer: the same passes by hand give the same first alert', () => {
    let state = startGuard([...passes(bagged)][0]?.nowMs ?? (0 as never));
    let first: unknown;
    for (const input of passes(bagged)) {
      const result = guard(state, input, { ...settings, escalateAfterS: Number.MAX_SAFE_INTEGER });
      state = result.state;
      first ??= result.alerts[0]?.sinceMs;
    }
    expect(replay(bagged, settings).alerts[0]?.at).toBe(first);
  });

  it('a probe of the kit that the history never had is not called stale', () => {
    const without = { ...bagged, probes: bagged.probes.filter((c) => c.probe !== 'starboard-elbow') };
    expect(replay(without, settings).alerts.map((a) => a.id)).toEqual(['cooling:port']);
  });

  it('counts candidate limits: 60 C was passed once by port, never by starboard', () => {
    const { setpoints } = replay(bagged, settings);
    const at = (probe: string, raiseAtC: number) =>
      setpoints.find((row) => row.probe === probe && row.raiseAtC === raiseAtC)?.times;
    expect(at('port-elbow', 60)).toBe(1);
    expect(at('starboard-elbow', 60)).toBe(0);
  });

  it('a night between two passages is no alert, and not counted as running', () => {
    const later = recordPlant(new Plant({ seed: 2 }), startAt + 40_000_000, 900, (plant, s) => {
      if (s === 10) plant.setThrottle('port', 0.5);
    });
    const both: RecordedHistory = {
      probes: bagged.probes.map((probe, i) => ({
        ...probe,
        at: Float64Array.from([...probe.at, ...(later.probes[i]?.at ?? [])]),
        temperatureC: Float64Array.from([...celsius(probe), ...celsius(later.probes[i])]),
      })),
      runSpans: {
        port: [...(bagged.runSpans.port ?? []), ...(later.runSpans.port ?? [])],
        starboard: bagged.runSpans.starboard ?? [],
      },
    };
    const replayed = replay(both, settings);
    expect(replayed.alerts).toHaveLength(1);
    expect(replayed.recordedHours).toBeCloseTo(2898 / 3600, 3);
  });
});

describe('reading an imported history', () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-csv-'));
  afterAll(() => rmSync(folder, { recursive: true }));
  const everything = { from: 0, to: Number.MAX_SAFE_INTEGER };
  const read = (text: string) => {
    const path = join(folder, 'history.csv');
    writeFileSync(path, text);
    return readImport(createReadStream(path), ['port-elbow', 'sea'], ['port', 'starboard'], everything);
  };

  it('takes RFC 3339 and milliseconds, qualities, and rows out of order', async () => {
    const { history, rows, refused } = await read(
      'time,probe,temperatureC,quality\n2026-05-01T10:00:01Z,port-elbow,30.5,good\n1777629600000,port-elbow,30.25,\n2026-05-01T10:00:02Z,port-elbow,,open\n',
    );
    expect({ rows, refused }).toEqual({ rows: 3, refused: 0 });
    expect(history.probes[0]?.at).toEqual(Float64Array.of(1777629600000, 1777629601000, 1777629602000));
    expect(celsius(history.probes[0])[0]).toBe(30.25);
    expect(history.probes[0]?.quality).toEqual(['good', 'good', 'open']);
  });

  it('a pressure under the name of a thermometer is refused, and the temperatures stay what they are', async () => {
    const { history, refused, firstRefused } = await read(
      'time,probe,temperatureC,pressureKpa\n2026-05-01T10:00:00Z,sea,10,\n2026-05-01T10:00:01Z,sea,,55\n2026-05-01T10:00:02Z,sea,11,\n',
    );
    expect({ refused, lines: firstRefused.map(({ line }) => line) }).toEqual({ refused: 1, lines: [3] });
    expect(celsius(history.probes[0])).toEqual(Float64Array.of(10, 11));
  });

  it('a bad row is refused with its line and why; an unknown probe is counted', async () => {
    const { refused, firstRefused, unknown, rows } = await read(
      'time,probe,temperatureC\nyesterday,sea,10\n2026-05-01T10:00:00Z,sea,warm\n2026-05-01T10:00:00Z,bilge,10\n2026-05-01T10:00:00Z,sea,10\n',
    );
    expect({ refused, rows, unknown }).toEqual({ refused: 2, rows: 1, unknown: { bilge: 1 } });
    expect(firstRefused.map((r) => r.line)).toEqual([2, 3]);
    expect(firstRefused[1]?.why).toContain('warm');
  });

  it('a header that does not fit is an error that says what was met and what is expected', async () => {
    await expect(read('when,what\n')).rejects.toThrow(ImportError);
    await expect(read('when,what\n')).rejects.toThrow(
      /Line 1: the header names "when", "what"; known columns are time,probe/,
    );
    await expect(read('')).rejects.toThrow(/is empty/);
  });

  it('reads what import reads: exported CSV, JSON lines and line protocol give one history', async () => {
    const rows = [0, 1, 2].map((s) => ({
      rate: 'second' as const,
      node: 'engine-room',
      reading: {
        probe: 'sea',
        at: 1777629600000 + s * 1000,
        temperatureC: 18.5 + s,
        quality: 'good' as const,
      },
    }));
    const files = [shortCsv, fullCsv, jsonLines, lineProtocol].map(({ header, write }) =>
      [...(header === undefined ? [] : [header]), ...rows.map(write)].join('\n'),
    );
    for (const file of files) {
      const { history, refused, unknown } = await read(file);
      expect({ refused, unknown }).toEqual({ refused: 0, unknown: {} });
      expect(celsius(history.probes[0])).toEqual(Float64Array.of(18.5, 19.5, 20.5));
    }
  });

  it('an open quote costs its own line and no other', async () => {
    const { rows, firstRefused } = await read(
      'time,probe,temperatureC\n1777629600000,"sea,10\n1777629601000,"sea",11\n',
    );
    expect({ rows, firstRefused }).toEqual({
      rows: 1,
      firstRefused: [{ line: 2, why: 'a quote is left open' }],
    });
  });

  it('a running input comes as its own probe of ones and zeros', async () => {
    const path = join(folder, 'running.csv');
    writeFileSync(
      path,
      'time,probe,temperatureC\n1777629600000,running-port,1\n1777629660000,running-port,0\n1777629720000,running-port,1\n1777629725000,running-port,1\n',
    );
    const { history } = await readImport(createReadStream(path), ['sea'], ['port', 'starboard'], everything);
    expect(history.runSpans).toEqual({
      port: [
        { startAt: 1777629600000, endAt: 1777629660000 },
        { startAt: 1777629720000, endAt: 1777629725000 },
      ],
    });
  });
});

const celsius = (probe: ProbeHistory | undefined): Float64Array =>
  probe && 'temperatureC' in probe ? probe.temperatureC : new Float64Array();
