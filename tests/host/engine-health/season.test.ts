import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { startOf, type Voyage, voyages } from '../../../host/demo-season/voyages.js';
import { writeSeason } from '../../../host/demo-season/write-season.js';
import { calibrationDue } from '../../../host/engine-health/calibration-due.js';
import { type EngineHealth, type Health, healthOf } from '../../../host/engine-health/health.js';
import { type AlertHistory, openStore, type RunSpan } from '../../../host/store/index.js';
import { benchKitYaml } from '../../../node/bench/index.js';
import { Plant } from '../../../node/bench/plant/plant.js';
import { firstEngineCards, type ProbeCard, settingsFromKit } from '../../../node/index.js';
import { parseKit } from '../../../node/kit/load-kit.js';
import { asMonotonicMs, asWallMs } from '../../../node/time/clock.js';
import { thermistorCertificate } from '../../calibration/made-points.js';
import { numbering } from '../store/made-readings.js';

const dayMs = 86_400_000;
const nowMs = Date.UTC(2026, 9, 1, 12);
const clock = { wallMs: () => asWallMs(nowMs), monotonicMs: () => asMonotonicMs(0) };
const { engines, ...kit } = parseKit(benchKitYaml, 'bench kit');
const probes: readonly ProbeCard[] = kit.probes.map(
  ({ id, name, engine, place, mounting, limits }) =>
    ({ id, name, engine, place, mounting, limits }) as ProbeCard,
);

/** What the plant itself says at cruise, settled and without noise: the elbows' rise over the sea. */
const riseInPlant = (voyage: Voyage, portFlow: number) => {
  const plant = new Plant({ seaC: voyage.seaC, outsideC: voyage.airC, seed: 1 });
  plant.wearImpeller('port', portFlow);
  for (const engine of ['port', 'starboard'] as const)
    plant.setThrottle(engine, voyage.legs[3]?.throttle ?? 0);
  for (let s = 0; s < 1200; s++) plant.step(1);
  const at = (id: string) => plant.elementTemperatureC(probes.find((probe) => probe.id === id) as ProbeCard);
  return { port: at('port-elbow') - at('sea-water'), starboard: at('starboard-elbow') - at('sea-water') };
};

/** Cooling as the plant has it, whole over worn at one load; the drifting probe adds to the rise it shows. */
const truthOf = (voyage: Voyage) => {
  const whole = riseInPlant(voyage, 1);
  const worn = riseInPlant(voyage, voyage.wornFlow);
  const shown = whole.starboard + voyage.driftK;
  return { port: whole.port / worn.port, starboard: whole.starboard / shown, ratio: worn.port / shown };
};

const voyageAt = (at: number): number =>
  voyages.findIndex(({ daysAgo, hourOfDay }) => {
    const startAt = Math.floor(nowMs / dayMs - daysAgo) * dayMs + hourOfDay * 3_600_000;
    return Math.abs(at - startAt) < 3_600_000;
  });

describe('health, over a season whose truth is known', () => {
  let folder: string;
  let health: Health;
  let alerts: readonly AlertHistory[];
  let runs: readonly RunSpan[];
  const engineHealth = (id: string): EngineHealth =>
    health.engines.find(({ engine }) => engine.id === id) as EngineHealth;
  const written: unknown[] = [];
  const truths = voyages.map(truthOf);

  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'elbowroom-season-'));
    const store = openStore(folder, clock);
    store.intake.take(
      numbering()({ kind: 'hello', boat: 'Invented', invented: true, engines: firstEngineCards, probes }),
    );
    store.intake.commit();
    const settings = settingsFromKit(parseKit(benchKitYaml, 'bench kit'));
    const season = { store, node: 'engine-room', probes, settings };
    const nextDay = { ...clock, wallMs: () => asWallMs(nowMs + dayMs) };
    let asked = 0;
    // The host is stopped after three voyages; started again the next day it continues.
    const broken = {
      get aborted() {
        return ++asked > 3;
      },
    } as AbortSignal;
    written.push(await writeSeason({ engines, ...season, clock, signal: broken }));
    written.push(store.runSpans({ engine: 'port', from: 0, to: nowMs }).length);
    written.push(await writeSeason({ engines, ...season, clock: nextDay }));
    written.push(await writeSeason({ engines, ...season, clock: nextDay }));
    alerts = store.alerts({ from: 0, to: nowMs });
    runs = store.runSpans({ engine: 'port', from: 0, to: nowMs + dayMs });
    health = await healthOf(store, nowMs - 180 * dayMs, nowMs);
    store.close();
  });
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('interrupted, continues by its own calendar, and is written once', () => {
    expect(written).toEqual([false, 3, true, false]);
    expect(runs.map(({ startAt }) => voyageAt(startAt))).toEqual(voyages.map((_, index) => index));
  });

  it('has the one alert the guard itself raises over it: cooling lost within 15 s of the bag, and no false one', () => {
    expect(alerts.map(({ alert }) => [alert.id, alert.priority])).toEqual([['cooling:starboard', 'alarm']]);
    const bagged = voyages.find(({ bag }) => bag) as Voyage;
    const bagAt = startOf(bagged, nowMs) + (bagged.bag?.atS ?? 0) * 1000;
    const [{ raisedAt, alert }] = alerts as [AlertHistory];
    expect(raisedAt - bagAt).toBeGreaterThan(0);
    expect(raisedAt - bagAt).toBeLessThan(15_000);
    expect(alert.message).toMatch(/\(invented season\)$/);
    expect(alert.actions.length).toBeGreaterThanOrEqual(6);
  });

  it('is not written over an owner’s history', async () => {
    const own = mkdtempSync(join(tmpdir(), 'elbowroom-own-'));
    const store = openStore(own, clock);
    store.addHistory({
      node: 'engine-room',
      probe: 'port-elbow',
      at: Float64Array.of(nowMs - 3 * dayMs),
      temperatureC: Float64Array.of(40),
    });
    const settings = settingsFromKit(parseKit(benchKitYaml, 'bench kit'));
    expect(await writeSeason({ engines, store, clock, node: 'engine-room', probes, settings })).toBe(false);
    expect(store.service.entries()).toEqual([]);
    store.close();
    rmSync(own, { recursive: true, force: true });
  });

  it.each(['port', 'starboard'] as const)(
    'effectiveness of %s: its band of two standard uncertainties holds the truth and is no wider than 5 %%',
    (engine) => {
      const { effectiveness } = engineHealth(engine);
      expect(effectiveness.length).toBe(voyages.length);
      const off = effectiveness.map(({ at, value, uncertainty }) => {
        const truth = truths[voyageAt(at)]?.[engine] ?? Number.NaN;
        return { error: value - truth, bands: Math.abs(value - truth) / (2 * uncertainty), uncertainty };
      });
      expect(off.filter(({ bands }) => bands > 1).length).toBeLessThanOrEqual(Math.floor(0.05 * off.length));
      expect(Math.max(...off.map(({ error }) => Math.abs(error)))).toBeLessThan(0.015);
      expect(Math.max(...off.map(({ uncertainty }) => 2 * uncertainty))).toBeLessThan(0.05);
    },
  );

  it('a sea ten degrees warmer is not taken for better cooling', () => {
    const summer = engineHealth('port').effectiveness.filter(
      ({ at }) => voyageAt(at) >= 6 && voyageAt(at) <= 11,
    );
    expect(summer.length).toBe(6);
    for (const { value } of summer) expect(Math.abs(value - 1)).toBeLessThan(0.01);
  });

  it('twin balance: until the impeller was changed its band holds the truth within 1 %', () => {
    const before = (health.pairs[0]?.ratio ?? []).filter(({ at }) => voyageAt(at) <= 21);
    expect(before.length).toBe(22);
    const normal = 1 / (truths.slice(0, 4).reduce((sum, { ratio }) => sum + 1 / ratio, 0) / 4);
    const bands = before.map(({ at, value, uncertainty }) => {
      const truth = (truths[voyageAt(at)]?.ratio ?? Number.NaN) / normal;
      return Math.abs(value - truth) / (2 * uncertainty);
    });
    expect(bands.filter((band) => band > 1).length).toBeLessThanOrEqual(1);
    expect(Math.max(...before.map(({ uncertainty }) => 2 * uncertainty))).toBeLessThan(0.01);
  });

  it('the baseline is rise over the sea against exhaust gas, and its band holds the points it was learned on', () => {
    const { baseline, baselineFrom, learnedOn } = engineHealth('port');
    if (!baseline) throw new Error('No baseline.');
    const { a, b, c, residualK } = baseline;
    const inside = learnedOn.filter(({ gasC, riseC }) => {
      const t = (gasC - 300) / 100;
      return Math.abs(riseC - (a + b * t + c * t * t)) < 2 * residualK;
    });
    expect(inside.length / learnedOn.length).toBeGreaterThan(0.9);
    // Learned again on the first trips after the impeller was changed.
    expect(voyageAt(baselineFrom ?? 0)).toBe(22);
  });

  it('cold soaks show what the starboard elbow probe reads too much, and nothing of the others', () => {
    for (const { at, offsets } of health.coldSoaks) {
      const drift = voyages[voyageAt(at)]?.driftK ?? Number.NaN;
      expect(Math.abs((offsets['starboard-elbow'] ?? Number.NaN) - drift)).toBeLessThan(0.15);
      expect(Math.abs(offsets['port-elbow'] ?? Number.NaN)).toBeLessThan(0.15);
    }
    expect(health.coldSoaks.length).toBeGreaterThan(20);
  });

  const issuedDaysAgo = (days: number) => {
    const issuedAt = new Date(nowMs - days * dayMs).toISOString();
    return { ...thermistorCertificate(), issuedAt };
  };

  it('a probe that agrees with the others is due a year after its certificate, or as host.yaml says', () => {
    const certificate = issuedDaysAgo(150);
    const probe = { id: 'port-elbow', name: 'Port wet elbow', certificateInUse: 'port-elbow@1' };
    const due = calibrationDue(probe, certificate, health.coldSoaks);
    expect(due).toMatchObject({ why: 'interval', certificate: 'port-elbow@1', driftWatched: true });
    expect(calibrationDue(probe, issuedDaysAgo(10), health.coldSoaks).driftWatched).toBe(false);
    expect(due.dueAt).toBeCloseTo(nowMs + 215 * dayMs, -3);
    expect(calibrationDue(probe, certificate, health.coldSoaks, 100).dueAt).toBeCloseTo(
      nowMs - 50 * dayMs,
      -3,
    );
  });

  it('a probe that drifts is due sooner: when its drift has used up what the certificate allows', () => {
    const probe = {
      id: 'starboard-elbow',
      name: 'Starboard wet elbow',
      certificateInUse: 'starboard-elbow@1',
    };
    const due = calibrationDue(probe, issuedDaysAgo(75), health.coldSoaks);
    expect(due.why).toBe('drift');
    const [first, last] = [voyages[17], voyages.at(-1)] as [Voyage, Voyage];
    const perYear = ((last.driftK - first.driftK) / (first.daysAgo - last.daysAgo)) * 365.25;
    expect(Math.abs((due.driftKPerYear ?? 0) / perYear - 1)).toBeLessThan(0.1);
    const daysToUseUp = (365.25 * (due.allowedK ?? 0)) / (due.driftKPerYear ?? 1);
    expect(due.dueAt).toBeCloseTo(nowMs + (daysToUseUp - 75) * dayMs, -4);
  });

  it('without a certificate it is due now; with one that is elsewhere nothing is claimed', () => {
    const probe = { id: 'port-elbow', name: 'Port wet elbow' };
    expect(calibrationDue(probe, undefined, health.coldSoaks)).toMatchObject({ why: 'never' });
    const away = calibrationDue({ ...probe, certificateInUse: 'port-elbow@4' }, undefined, health.coldSoaks);
    expect([away.why, away.certificate, away.dueAt]).toEqual(['unknown', 'port-elbow@4', undefined]);
  });
});
