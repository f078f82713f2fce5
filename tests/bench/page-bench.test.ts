import { join } from 'node:path';
import type { Page } from 'playwright-core';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { freePort } from '../../host/supervise/free-port.js';
import { isLong } from '../long-form.js';
import { type RunningCommand, startCommand, until } from './house/running-command.js';
import { troublesEverywhere } from './page/layout.js';
import {
  expectAccessible,
  expectAccessibleByDayAndNight,
  PageHouse,
  patient,
  shoot,
} from './page/page-house.js';
import { expectThumbs } from './page/thumb.js';

type Truth = {
  probes: Record<string, { temperatureC: number; fault: string | null }>;
  engines: Record<'port' | 'starboard', { running: boolean }>;
  board: { cableIn: boolean };
  pins: { buzzer: boolean };
};

const running: RunningCommand[] = [];
let house: PageHouse;
let page: Page;
let control = '';

const truth = async (): Promise<Truth> => (await fetch(`${control}/truth`)).json() as Promise<Truth>;
const trueC = async (probe: string) => (await truth()).probes[probe]?.temperatureC ?? Number.NaN;
/** What a hand does beside the page: probes into a bath. */
const dip = async (probe: string, bath: 'ice' | 'boiling') => {
  const answer = await fetch(`${control}/do`, {
    method: 'POST',
    body: JSON.stringify({ action: 'dip', probe, bath, settled: true }),
  });
  expect(answer.status).toBe(200);
};
const go = async (screen: string) => {
  await page.goto(`${house.url}#${screen}`);
  await page
    .locator('main h2')
    .first()
    .waitFor({ state: 'attached', ...patient });
};
/** By the name that the kit file gives the engine. */
const press = (engine: string, button: string) =>
  page
    .getByRole('region', { name: engine, exact: true })
    .getByRole('button', { name: button })
    .click(patient);
const readAs = (probe: string) => page.locator('.bench tr', { hasText: probe }).locator('td').nth(1);

beforeAll(async () => {
  const [board, controlPort, link] = [await freePort(), await freePort(), await freePort()];
  control = `http://127.0.0.1:${controlPort}`;
  const node = `127.0.0.1:${link}`;
  house = await PageHouse.open({ node: false, nodes: [node], controlPort });
  const kit = ['--kit', house.kitPath];
  running.push(
    startCommand('bench-board', ...kit, '--board-port', `${board}`, '--control-port', `${controlPort}`),
  );
  await until('the bench', truth);
  running.push(
    startCommand(
      ...['node', ...kit, '--board', `tcp://127.0.0.1:${board}`, '--link', node],
      ...['--data-dir', join(house.dataDir, 'node')],
    ),
  );
  page = await house.visit('#bench');
  await page.getByText('Live', { exact: true }).waitFor(patient);
  await until('readings on the page', async () => /°C/.test(await readAs('Port wet elbow').innerText()));
});

afterAll(async () => {
  await house?.close();
  await Promise.all(running.map((command) => command.kill('SIGKILL')));
});

it('Bench: a cut probe is open in truth and on the page, and whole again when repaired', async () => {
  await page.getByRole('button', { name: 'Cut sea-water' }).click(patient);
  await expect.poll(async () => (await truth()).probes['sea-water']?.fault, patient).toBe('open');
  await expect.poll(() => readAs('Sea water').innerText(), patient).toBe('open');
  await page.getByRole('button', { name: 'Repair sea-water' }).click(patient);
  await expect.poll(async () => (await truth()).probes['sea-water']?.fault, patient).toBe(null);
  await expect.poll(() => readAs('Sea water').innerText(), patient).toMatch(/°C/);
});

it('Bench: pulling the cable loses the board, putting it back brings it home', async () => {
  await page.getByRole('button', { name: 'Pull the cable' }).click(patient);
  await expect.poll(async () => (await truth()).board.cableIn, patient).toBe(false);
  await page.locator('.no-data', { hasText: /board/ }).waitFor(patient);
  await shoot(page, 'bench-cable-out');
  await page.getByRole('button', { name: 'Put it back' }).click(patient);
  await expect.poll(async () => (await truth()).board.cableIn, patient).toBe(true);
  await page.getByText('Live', { exact: true }).waitFor(patient);
});

it('Bench: throttle and a shed vane are felt in the engine, and read as they are', async () => {
  const [gasBefore, elbowBefore] = [await trueC('starboard-exhaust'), await trueC('port-elbow')];
  await press('Starboard', 'Wide open');
  await press('Port', 'Shed a vane');
  await expect.poll(() => trueC('starboard-exhaust'), patient).toBeGreaterThan(gasBefore + 5);
  await expect.poll(() => trueC('port-elbow'), patient).toBeGreaterThan(elbowBefore + 2);
  const readC = async (name: string) => Number.parseFloat(await readAs(name).innerText());
  await expect.poll(() => readC('Starboard exhaust gas'), patient).toBeGreaterThan(gasBefore + 5);
  await expect.poll(() => readC('Port wet elbow'), patient).toBeGreaterThan(elbowBefore + 2);
  await press('Port', 'New impeller');
  expect(await troublesEverywhere(page)).toEqual({});
  await expectAccessibleByDayAndNight(page);
  for (const [width, height] of [
    [390, 844],
    [1280, 800],
  ] as const) {
    await page.setViewportSize({ width, height });
    await expectThumbs(page, `bench at ${width}`);
    await shoot(page, `bench-${width}`, true);
  }
});

it('Bench: a bag over the intake ends in the real alarm, its steps, buttons and both figures in view at the helm, and the buzzer sounds', async () => {
  await press('Starboard', 'Bag the intake');
  const alarm = page.getByRole('article', { name: /^alarm/ }).first();
  await alarm.waitFor(patient);
  await expect.poll(async () => (await truth()).pins.buzzer, patient).toBe(true);
  await go('now');
  expect(await alarm.getByRole('listitem').count()).toBeGreaterThanOrEqual(3);
  await shoot(page, 'bench-alarm');
  const lowest = () =>
    page.evaluate(() =>
      Math.max(
        ...[...document.querySelectorAll('.alert button, .alert > * li, .engine .room')].map(
          (e) => e.getBoundingClientRect().bottom,
        ),
      ),
    );
  await expect.poll(lowest, patient).toBeLessThanOrEqual(800);
  await go('bench');
  await press('Starboard', 'Clear it');
  for (const engine of ['Port', 'Starboard'] as const) {
    await press(engine, 'Stop');
    const side = engine.toLowerCase() as 'port' | 'starboard';
    await expect.poll(async () => (await truth()).engines[side].running, patient).toBe(false);
  }
  await go('now');
  await page.getByRole('region', { name: 'Port', exact: true }).getByText('stopped').waitFor(patient);
});

// In full only. At 15 s and 0.5 C a minute the bench's thermocouples had not settled after 100 s on a busy machine; quicker
// rules may record a probe too early, and its bath is then refused. page-calibrate.test.ts has the steps in short.
if (isLong)
  it('Calibrate: chosen probes, ice, boiling water, certificates, and the node reads by them', async () => {
    // Bare thermocouples, which settle faster than thermistors in wells; on their way to the ice while the page is asked.
    const probes = ['port-exhaust', 'starboard-exhaust'] as const;
    const sit = (bath: 'ice' | 'boiling') => Promise.all(probes.map((probe) => dip(probe, bath)));
    await sit('ice');
    await go('calibrate');
    const box = (name: string) => page.getByRole('checkbox', { name });
    for (const name of ['Port wet elbow', 'Starboard wet elbow']) await box(name).uncheck(patient);
    for (const name of ['Port exhaust gas', 'Starboard exhaust gas']) await box(name).check(patient);
    // Shorter than an owner should hold; the rules are the same.
    await page.getByLabel(/^Settled when held/).fill('30');
    await page.getByLabel(/^and moving less/).fill('1');
    await page.getByRole('button', { name: 'Begin' }).click(patient);

    const takenIn = (bath: string) => page.locator('.taken > li', { hasText: `${bath}:` }).count();
    /** When both have settled the bath is taken by itself. */
    const settled = async (bath: 'ice' | 'boiling', begin: string) => {
      await sit(bath);
      await page.getByRole('button', { name: begin }).click(patient);
      await until(`both in the ${bath} bath`, async () => (await takenIn(bath)) === probes.length, 300)
        .catch(async (error: Error) => {
          throw new Error(`${error.message}\n${await page.locator('main').innerText()}`);
        })
        .finally(() => shoot(page, `calibrate-${bath}`));
    };
    await settled('ice', 'They are in kitchen ice');
    await page.getByLabel('Altitude of this place').fill('0');
    await page.getByLabel('Barometer here').fill('1013.25');
    await settled('boiling', 'They are in the boiling water');
    await expectAccessible(page);
    await page.getByRole('button', { name: 'Issue certificates' }).click(patient);
    await page.getByText('The kit file names the new certificates').waitFor(patient);
    for (const probe of probes) {
      await page.getByRole('button', { name: `${probe}@1` }).click(patient);
      await page.locator('.certificate pre', { hasText: probe }).waitFor(patient);
      const picture = page.locator('.certificate img');
      await expect
        .poll(() => picture.evaluate((img: HTMLImageElement) => img.naturalWidth), patient)
        .toBeGreaterThan(100);
    }
    await shoot(page, 'certificate');
    const inForce = async () => {
      const now = (await (await fetch(`${house.url}api/now`)).json()) as {
        probes: { id: string; certificate?: string }[];
      };
      return probes.map((id) => now.probes.find((probe) => probe.id === id)?.certificate);
    };
    await expect.poll(inForce, patient).toEqual(probes.map((probe) => `${probe}@1`));
    await go('health');
    await page.locator('main').getByText('port-exhaust@1').first().waitFor(patient);
  }, 900_000);
