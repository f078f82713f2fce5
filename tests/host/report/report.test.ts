import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { gatherReport, type Report } from '../../../host/report/gather.js';
import { reportHtml } from '../../../host/report/html.js';
import { pointCell, spanCell } from '../../../host/report/words.js';
import { openStore, type Store } from '../../../host/store/index.js';
import { degreesIn } from '../../../host/wording/degrees.js';
import { lastedText } from '../../../host/wording/moments.js';
import type { AlertRow, ProbeCard } from '../../../node/index.js';
import { firstEngineCards } from '../../../node/index.js';
import { movableClock, numbering, reading, startAt } from '../store/made-readings.js';
import { portElbow } from './port-elbow.js';

const minute = 60_000;
const hour = 60 * minute;
const sea: ProbeCard = {
  id: 'sea',
  name: 'Sea <water>',
  engine: 'all',
  place: 'sea-water',
  mounting: 'well',
  limits: {},
};

const alarm = (over: Partial<AlertRow>): AlertRow => ({
  id: 'cooling:port',
  rule: 'high-limit',
  priority: 'alarm',
  state: 'unacknowledged',
  engine: 'port',
  since: startAt + 5 * minute,
  message: 'Port wet elbow above 75 C & rising',
  evidence: { values: {}, thresholds: {} },
  actions: [],
  ...over,
});

/** Ten minutes: 50 C, at minute 5 for one minute 80 C; the sea 18 C, missing for 30 s. */
const fill = (store: Store) => {
  const next = numbering();
  const take = (message: Parameters<typeof next>[0]) => store.intake.take(next(message));
  take({
    kind: 'hello',
    boat: 'Marsh <Harrier>',
    invented: true,
    engines: firstEngineCards,
    probes: [portElbow, sea],
  });
  for (let s = 0; s < 600; s++) {
    const at = startAt + s * 1000;
    const hot = s >= 300 && s < 360;
    const gone = s >= 100 && s < 130;
    const seaRow = gone
      ? { probe: 'sea', at, quality: 'open' as const }
      : reading('sea', at, { temperatureC: 18 });
    take({
      kind: 'readings',
      rate: 'second',
      rows: [reading('port-elbow', at, { temperatureC: hot ? 80 : 50, certificate: 'port-elbow@2' }), seaRow],
    });
  }
  take({ kind: 'alerts', at: startAt + 5 * minute, alerts: [alarm({})] });
  take({
    kind: 'alerts',
    at: startAt + 5 * minute + 20_000,
    alerts: [alarm({ state: 'acknowledged', acknowledgedAt: startAt + 5 * minute + 20_000 })],
  });
  // It was over after a minute, and stayed in view for another.
  const over = { acknowledgedAt: startAt + 5 * minute + 20_000, rectifiedAt: startAt + 6 * minute };
  take({
    kind: 'alerts',
    at: startAt + 6 * minute,
    alerts: [alarm({ state: 'rectified', ...over })],
  });
  take({ kind: 'alerts', at: startAt + 7 * minute, alerts: [] });
  store.intake.commit();
  store.bulk.runSpans([
    { node: 'engine-room', engine: 'port', startAt, endAt: startAt + 10 * minute },
    { node: 'engine-room', engine: 'starboard', startAt: startAt + minute, endAt: startAt + 9 * minute },
  ]);
  store.service.add({
    at: startAt - hour,
    engine: 'port',
    work: 'impeller changed',
    restartsBaseline: true,
  });
};

describe('a report', () => {
  let folder: string;
  let store: Store;
  let report: Report;
  let html: string;
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'elbowroom-report-'));
    store = openStore(folder, movableClock().clock);
    fill(store);
    const span = { from: startAt, to: startAt + 10 * minute };
    report = await gatherReport(store, span, { nowMs: startAt + hour, certificates: [] });
    html = reportHtml(report, degreesIn('celsius'));
  });
  afterAll(() => {
    store.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('has the extremes, the moment of the hottest, the room and the seconds without a reading', () => {
    const [port, water] = report.probes;
    expect(port).toMatchObject({
      minC: 50,
      maxC: 80,
      roomC: -12,
      readings: 600,
      missing: 0,
      certificate: 'port-elbow@2',
    });
    expect(port?.meanC).toBeCloseTo((50 * 540 + 80 * 60) / 600, 6);
    expect(Math.abs((port?.hottestAt ?? 0) - (startAt + 5 * minute))).toBeLessThanOrEqual(1000);
    expect(water).toMatchObject({ minC: 18, maxC: 18, missing: 30, readings: 570 });
    expect(water?.roomC).toBeUndefined();
  });

  it('has the hours of each engine and the work done before', () => {
    const [port, starboard] = report.hours;
    expect(port).toEqual({ engine: 'port', name: 'Port', hours: 1 / 6, basis: 'running-input' });
    expect(starboard?.hours).toBeCloseTo(8 / 60, 6);
    expect(report.service.map((s) => s.work)).toEqual(['impeller changed']);
  });

  it('has the alert from its raising to the end of its cause, and when it was acknowledged', () => {
    expect(report.alerts).toMatchObject([
      {
        raisedAt: startAt + 5 * minute,
        acknowledgedAt: startAt + 5 * minute + 20_000,
        endedAt: startAt + 6 * minute,
      },
    ]);
    expect(html).toContain('after 20 s');
    expect(html).toContain('lasted 60 s');
  });

  it('is one file that asks nothing of any network', () => {
    expect(html).not.toMatch(/<(script|link|img|iframe)\b|url\(|@import|https?:\/\/(?!www\.w3\.org)/);
    expect(html.length).toBeLessThan(500_000);
  });

  it('lets no name break the page', () => {
    expect(html).toContain('Marsh &lt;Harrier&gt;');
    expect(html).toContain('Sea &lt;water&gt;');
    expect(html).toContain('above 75 °C &amp; rising');
    expect(html).not.toMatch(/<Harrier>|<water>/);
  });

  it('says that an invented boat is invented, and that the kit replaces nothing', () => {
    expect(html).toContain('<strong>Invented.</strong>');
    expect(html).toMatch(/does not replace/);
  });

  it('is read in Fahrenheit by who chose it: points, and room as a distance, and no Celsius left over', () => {
    const shown = reportHtml(report, degreesIn('fahrenheit'));
    expect(shown).not.toMatch(/°C|\d C\b|Celsius/);
    // 50, 80 and 18 C are points on the scale; 12 C past the warning is a distance: 21.6 F, not -10.4.
    for (const text of ['122.0 °F', '176.0 °F', '64.4 °F', '−21.6 °F', 'warning 154 °F', 'above 167 °F'])
      expect(shown).toContain(text);
    expect(shown).toContain('degrees Fahrenheit');
  });

  it('says in which zone its times are', () => {
    expect(html).toMatch(/Local time, UTC[+−-]\d\d:\d\d\./);
  });

  it('shades the alarm behind the elbow and draws both limits', () => {
    expect(html).toMatch(/fill="#f6c9c4"/);
    expect(html).toContain('warning 68 °C');
    expect(html).toContain('alarm 75 °C');
  });
});

it.each([
  [12_000, '12 s'],
  [240_000, '4 min'],
  [2 * hour + 5 * minute, '2 h 05 min'],
  [177 * 24 * hour, '177 days'],
])('%d ms read as %s', (ms, words) => expect(lastedText(ms)).toBe(words));

it('a temperature that is not there is a dash, and a minus is a minus', () => {
  const celsius = degreesIn('celsius');
  expect([pointCell(celsius, undefined), pointCell(celsius, -1.25), spanCell(celsius, undefined)]).toEqual([
    '–',
    '−1.3 °C',
    '–',
  ]);
});
