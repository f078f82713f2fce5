import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { certifiedReading, nominalReading, thermistorOhms } from '../../../calibration/index.js';
import { rederiveCommand } from '../../../host/cli/rederive-command.js';
import { openStore } from '../../../host/store/index.js';
import { systemClock } from '../../../node/index.js';
import { nominalLaw, thermistorCertificate, trueLaw } from '../../calibration/made-points.js';
import { runCommandHere } from '../cli/run-command-here.js';

const startAt = Date.UTC(2026, 3, 1, 8);
const minutes = 130;
let folder: string;

/** Two hours and ten minutes of a probe that was read by its datasheet curve, missing for every fifteenth minute. */
beforeEach(() => {
  folder = mkdtempSync(join(tmpdir(), 'elbowroom-rederive-'));
  const store = openStore(folder, systemClock);
  const at = Float64Array.from({ length: minutes }, (_, i) => startAt + i * 60_000);
  const ohms = at.map((_, i) => Math.round(100 * thermistorOhms(trueLaw, 40 + 30 * Math.sin(i / 9))) / 100);
  const away = Array.from(at, (_, i) => i % 15 === 14);
  const present = Array.from(at, (_, i) => i).filter((i) => !away[i]);
  const pick = (column: Float64Array) => Float64Array.from(present, (i) => column[i] as number);
  const nominal = ohms.map(
    (raw) => nominalReading({ kind: 'thermistor', law: nominalLaw }, { raw, rawUnit: 'ohm' }).temperatureC,
  );
  store.addHistory({
    node: 'engine-room',
    probe: 'port-elbow',
    at: pick(at),
    temperatureC: pick(nominal),
    raw: pick(ohms),
    rawUnit: 'ohm',
  });
  const gone = Array.from(at, (_, i) => i).filter((i) => away[i]);
  store.addHistory({
    node: 'engine-room',
    probe: 'port-elbow',
    at: Float64Array.from(gone, (i) => at[i] as number),
    temperatureC: new Float64Array(gone.length),
    quality: gone.map(() => 'open' as const),
  });
  store.close();
  writeFileSync(join(folder, 'port-elbow@1.json'), JSON.stringify(thermistorCertificate()));
});
afterEach(() => rmSync(folder, { recursive: true, force: true }));

const rederive = (...more: string[]) =>
  runCommandHere(
    rederiveCommand,
    ...['rederive', '--certificate', join(folder, 'port-elbow@1.json'), '--data-dir', folder, ...more],
  );
const rowsOf = (probe: string) => {
  const store = openStore(folder, systemClock);
  try {
    return store.span({ probe, from: 0, to: startAt * 2 });
  } finally {
    store.close();
  }
};

describe('elbowroom rederive', () => {
  it('puts new values beside the old ones, which stay untouched to the last digit', async () => {
    const before = rowsOf('port-elbow');
    const outcome = await rederive('--json');
    expect(outcome).toMatchObject({ exitCode: 0 });
    const said = JSON.parse(outcome.stdout);
    expect(said).toMatchObject({
      into: 'port-elbow-cert-1',
      readings: 122,
      withoutRaw: 8,
      refused: 0,
      added: 122,
    });
    expect(rowsOf('port-elbow')).toEqual(before);
    const after = rowsOf('port-elbow-cert-1');
    expect(after.length).toBe(122);
    const certificate = thermistorCertificate();
    for (const row of after) {
      const live = certifiedReading(certificate, { raw: row.raw as number, rawUnit: 'ohm' });
      // The store keeps thousandths of a degree.
      expect(Math.abs((row.temperatureC as number) - live.temperatureC)).toBeLessThan(0.00051);
      expect(Math.abs((row.uncertaintyC as number) - live.standardUncertaintyC)).toBeLessThan(0.002);
      expect(row.certificate).toBe('port-elbow@1');
    }
    expect(Math.abs(said.largestShiftC)).toBeGreaterThan(0.5);
  });

  it('a second time adds nothing, and a span takes only its own', async () => {
    const some = await rederive('--from', '2026-04-01T08:00:00Z', '--to', '2026-04-01T09:00:00Z', '--json');
    expect(JSON.parse(some.stdout)).toMatchObject({ readings: 56, added: 56 });
    const all = await rederive('--json');
    expect(JSON.parse(all.stdout)).toMatchObject({ readings: 122, added: 66, already: 56 });
  });

  it('refuses an unknown probe and an edited certificate with exit code 2, and touches nothing', async () => {
    expect(await rederive('--probe', 'nowhere')).toMatchObject({
      exitCode: 2,
      stderr: expect.stringMatching(/no readings of nowhere. It has: port-elbow/),
    });
    const path = join(folder, 'port-elbow@1.json');
    writeFileSync(path, JSON.stringify({ ...thermistorCertificate(), issue: 7 }));
    expect(await rederive()).toMatchObject({
      exitCode: 2,
      stderr: expect.stringMatching(/changed after it was issued/),
    });
  });
});
