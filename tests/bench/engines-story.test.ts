import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BenchHouse } from './house/bench-boat.js';
import { quickCalibration } from './house/quick-calibration.js';
import { startCommand, until } from './house/running-command.js';

/** Part tolerances, one count of the converter, and the noise on top. */
const toleranceC = (place: string): number => (place === 'dry-exhaust' ? 12 : 2.5);

const run = async (...args: string[]) => {
  const command = startCommand(...args);
  return { code: await command.ended, said: command.said() };
};

/** The boats as their owners answer the plan; `struck` is the engine that loses its water, as its owner calls it. */
const boats = [
  {
    boat: 'one engine',
    answers: `engines: [{ id: main, name: Old Faithful, kind: propulsion, ratedKw: 40 }]
wetElbow: { mounting: well }`,
    engines: ['main'],
    struck: { id: 'main', said: 'the Old Faithful engine', ran: 'Old Faithful ran' },
    strangers: /\bport\b|starboard/i,
  },
  {
    boat: 'a twin with a generator set',
    answers: `engines: [{ id: port }, { id: starboard }, { id: hotel, name: Hotel generator, kind: generator, ratedKw: 16 }]
wetElbow: { mounting: well }`,
    engines: ['port', 'starboard', 'hotel'],
    struck: { id: 'hotel', said: 'the Hotel generator', ran: 'Hotel generator ran' },
    strangers: /port generator|starboard generator/i,
  },
] as const;

describe.each(boats)('the whole story on $boat', ({ answers, engines, struck, strangers }) => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-story-'));
  let house: BenchHouse;
  const elbow = `${struck.id}-elbow`;
  const hostData = () => join(house.dataDir, 'host');
  const alertOf = async () => (await house.now()).alerts.find(({ id }) => id === `cooling:${struck.id}`);

  beforeAll(async () => {
    writeFileSync(join(folder, 'answers.yaml'), `plan: 1\nboat: Story\n${answers}\n`);
    const planned = await run('plan', '--answers', join(folder, 'answers.yaml'), '--out', folder);
    expect(planned.code, planned.said).toBe(0);
    house = await BenchHouse.open(readFileSync(join(folder, 'kit.yaml'), 'utf8'));
    await house.untilLive().catch((error) => {
      throw new Error(`${error.message}\n${house.said()}`);
    });
  });
  afterAll(async () => {
    await house?.close();
    rmSync(folder, { recursive: true, force: true });
  });

  it('plan to bench: every engine is there, every probe agrees with the truth, and the boat is badged as invented', async () => {
    const [now, truth] = [await house.untilLive(), await house.truth()];
    expect(now.engines.map(({ id }) => id)).toEqual(engines);
    expect(now.engines.map(({ running }) => running)).toEqual(engines.map(() => true));
    expect(now.nodes.map(({ invented }) => invented)).toEqual([true]);
    expect(now.probes.filter(({ place }) => place === 'wet-elbow').map(({ engine }) => engine)).toEqual(
      engines,
    );
    for (const probe of now.probes)
      expect(
        Math.abs((probe.temperatureC as number) - (truth.probes[probe.id]?.temperatureC ?? 0)),
        probe.id,
      ).toBeLessThan(toleranceC(probe.place));
  });

  it('calibrate: ice and boiling give a certificate, and the hot probe of the stopped engine sounds the buzzer', async () => {
    await house.act({ action: 'throttle', engine: struck.id, value: 0 });
    await house.act({ action: 'dip', probe: elbow, bath: 'ice', settled: true });
    const certificates = join(folder, 'certificates');
    const calibrate = startCommand(
      ...['calibrate', '--kit', house.kit, '--node', house.link, '--out', certificates, '--probe', elbow],
      ...quickCalibration,
      ...['--timeout-s', '100', '--json'],
    );
    await until('the ice bath', () => /Taken in the ice bath/.test(calibrate.said()));
    await house.act({ action: 'dip', probe: elbow, bath: 'boiling', settled: true });
    expect(await calibrate.ended, calibrate.said()).toBe(0);
    expect(JSON.parse(readFileSync(join(certificates, `${elbow}@1.json`), 'utf8')).probe.id).toBe(elbow);
    const sounds = await until(
      'the buzzer',
      async () => (await alertOf())?.priority === 'alarm' && (await house.truth()).pins.buzzer,
      30,
    );
    expect(sounds).toBe(true);
  });

  it('commission: the hot dip is seen, and each elbow says what it still lacks', async () => {
    const options = ['--kit', house.kit, '--data-dir', hostData(), '--out', join(folder, 'baseline.yaml')];
    type Step = { name: string; seen: string; next: string };
    const commission = async () => {
      const { said } = await run('commission', ...options, '--json');
      const { steps } = JSON.parse(said.slice(said.indexOf('{'), said.lastIndexOf('}') + 1));
      return (name: string): Step | undefined => steps.find((step: Step) => step.name === name);
    };
    // A jump from ice to boiling is believed at rest once it has stayed; until then the probe is kept in the water.
    const named = await until(
      'the hot dip to be believed',
      async () => {
        const found = await commission();
        const seen = found('Hot dip: the buzzer is proven')?.seen ?? '';
        return new RegExp(`${elbow} (9[3-9]|10[0-2])[.][0-9] C`).test(seen) ? found : undefined;
      },
      60,
    );
    await house.act({ action: 'undip', probe: elbow });
    await house.act({ action: 'throttle', engine: struck.id, value: 0.75 });
    const dip = named('Hot dip: the buzzer is proven')?.next;
    for (const id of engines)
      if (id === struck.id) expect(dip).not.toContain(elbow);
      else expect(dip).toContain(`${id}-elbow`);
    for (const id of engines) expect(named(`Trips: ${id}-elbow`)?.seen).toMatch(/still lacks: .*of 6 trips/);
  });

  it('alarm: a bag over the intake names the engine as its owner does; acknowledged and cleared it is over', async () => {
    const before = await until('the hot dip to be over', async () => {
      const alert = await alertOf();
      if (alert?.state === 'rectified') await acknowledge();
      return !alert || alert.state === 'rectified';
    });
    expect(before).toBe(true);
    const since = Date.now();
    await house.act({ action: 'bag-intake', engine: struck.id });
    const alarm = await until(
      'the alarm',
      async () => {
        const alert = await alertOf();
        return (
          alert &&
          alert.since >= since - 2_000 &&
          alert.priority === 'alarm' &&
          alert.state === 'unacknowledged' &&
          alert
        );
      },
      110,
    );
    expect(alarm).toMatchObject({ engine: struck.id, probe: elbow });
    expect(alarm.actions.join(' ')).toContain(struck.said);
    await house.act({ action: 'clear-intake', engine: struck.id });
    await until('every alarm of it acknowledged', async () => {
      await acknowledge();
      return (await alertOf())?.state !== 'unacknowledged';
    });
  });
  const acknowledge = () =>
    fetch(`${house.pageUrl}/api/alerts/${encodeURIComponent(`cooling:${struck.id}`)}/acknowledge`, {
      method: 'POST',
      headers: { 'content-type': 'application/json' },
      body: '{}',
    });

  it('history, log, export and report speak of these engines and of no other', async () => {
    const contents = (await (await fetch(`${house.pageUrl}/api/history/contents`)).json()) as {
      engines: { id: string }[];
    };
    expect(contents.engines.map(({ id }) => id)).toEqual(engines);
    const data = ['--data-dir', hostData()];
    const unsaid = await run('log', 'impeller changed', ...data);
    expect(unsaid.code, unsaid.said).toBe(engines.length === 1 ? 0 : 2);
    if (engines.length > 1) {
      expect(unsaid.said).toContain('--engine hotel');
      expect((await run('log', 'impeller changed', '--engine', struck.id, ...data)).code).toBe(0);
    }
    const csv = await run('export', '--format', 'csv', ...data);
    expect(csv.said).toContain(`,${elbow},`);
    const html = join(folder, 'report.html');
    const reported = await run('report', '--voyage', 'last', '--out', html, ...data);
    expect(reported.code, reported.said).toBe(0);
    const page = readFileSync(html, 'utf8');
    expect(page).toContain(struck.ran);
    expect(page).toContain('impeller changed');
    expect(page.match(/<strong>Invented\.<\/strong>/)?.length).toBe(1);
    expect(page.replace(/<style>.*<\/style>/s, '')).not.toMatch(strangers);
  });
});
