import { mkdirSync, mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import type { Destination } from '../../../host/outputs/messages/message.js';
import { MessageOutbox, waitMs } from '../../../host/outputs/messages/outbox.js';
import { webhookDestination } from '../../../host/outputs/messages/webhook.js';
import { message } from './made-message.js';
import { clock, secret, webhookServer } from './webhook-server.js';

const cleaning: string[] = [];
afterEach(() => {
  for (const path of cleaning.splice(0)) rmSync(path, { recursive: true, force: true });
});
const folder = () => {
  const path = mkdtempSync(join(tmpdir(), 'elbowroom-outbox-'));
  cleaning.push(path);
  return path;
};

describe('messages that wait', () => {
  const outbox = (destination: Destination, path = folder()) => {
    const time = { now: 1_000_000 };
    const words: string[] = [];
    const make = () =>
      new MessageOutbox({
        folder: path,
        destination,
        tryForMs: 3_600_000,
        nowMs: () => time.now,
        chance: () => 0.5,
        log: (line) => words.push(line),
      });
    return { time, words, path, make, box: make() };
  };
  const failing = (times: number) => {
    const delivered: string[] = [];
    let left = times;
    const destination: Destination = {
      name: 'test',
      deliver: async ({ id }) => {
        if (left-- > 0) throw new Error('no network');
        delivered.push(id);
      },
    };
    return { destination, delivered };
  };

  it('wait 10, 20, 40 s and so on to 15 minutes', () => {
    expect([1, 2, 3, 4].map((n) => waitMs(n, 0.5))).toEqual([10_000, 20_000, 40_000, 80_000]);
    expect(waitMs(30, 0.5)).toBe(900_000);
    expect(waitMs(1, 0)).toBe(8_000);
    expect(waitMs(1, 1)).toBeCloseTo(12_000, 6);
  });

  it('are tried again until they are taken, under the same id, and no sooner than their time', async () => {
    const { destination, delivered } = failing(2);
    const { box, time } = outbox(destination);
    box.add(message({ id: 'a' }));
    await box.turn();
    time.now += 9_999;
    await box.turn();
    expect(box.status()).toMatchObject({ failed: 1, waiting: 1, lastError: 'no network' });
    time.now += 1;
    await box.turn();
    time.now += 20_000;
    await box.turn();
    expect(delivered).toEqual(['a']);
    expect(box.status()).toMatchObject({ sent: 1, failed: 2, waiting: 0, dropped: 0 });
    expect(box.status().lastError).toBeUndefined();
  });

  it('are sent once and no more where the disk takes no change, as when it has become read-only', async () => {
    const { destination, delivered } = failing(1);
    const { box, path, time, words } = outbox(destination);
    box.add(message({ id: 'a' }));
    // Neither can be written or removed: a folder that is no file takes the place of each message.
    rmSync(path, { recursive: true });
    for (const id of ['a', 'b']) mkdirSync(join(path, `${id}.json`, 'full'), { recursive: true });
    box.add(message({ id: 'b' }));
    for (let turn = 0; turn < 5; turn++) {
      await box.turn();
      time.now += 20_000;
    }
    expect(delivered).toEqual(['a', 'b']);
    expect(box.status()).toMatchObject({ sent: 2, failed: 1, waiting: 0, dropped: 0 });
    expect(words.join('\n')).toContain('message a is in memory only');
  });

  it('outlive a restart, in order', async () => {
    const { destination, delivered } = failing(1);
    const { box, make, time, path } = outbox(destination);
    for (const id of ['1', '2', '3']) box.add(message({ id }));
    await box.turn();
    expect(readdirSync(path)).toEqual(['1.json', '2.json', '3.json']);
    const again = make();
    time.now += 60_000;
    for (let turn = 0; turn < 3; turn++) await again.turn();
    expect(delivered).toEqual(['1', '2', '3']);
    expect(readdirSync(path)).toEqual([]);
  });

  it('are given up after the time that was set, counted and reported', async () => {
    const { destination } = failing(1e9);
    const { box, time, words } = outbox(destination);
    box.add(message({ id: 'a' }));
    for (let turn = 0; turn < 20; turn++) {
      await box.turn();
      time.now += 900_000;
    }
    expect(box.status()).toMatchObject({ waiting: 0, dropped: 1 });
    expect(words.at(-1)).toMatch(/gave up "trial" after \d attempts: no network/);
    expect([box.takeGivenUp(), box.takeGivenUp()]).toEqual([1, 0]);
  });

  it('are 500 at most; the oldest is given up and counted', () => {
    const { box } = outbox(failing(1e9).destination);
    for (let i = 0; i < 503; i++) box.add(message({ id: String(i).padStart(4, '0') }));
    expect(box.status()).toMatchObject({ waiting: 500, dropped: 3 });
  });

  it('that a power cut left half written or spoiled are counted, and the rest continues', async () => {
    const path = folder();
    writeFileSync(join(path, 'x.json'), '{"message":');
    writeFileSync(join(path, 'y.json.part'), '{');
    const { destination, delivered } = failing(0);
    const { box, words } = outbox(destination, path);
    expect(words.join()).toMatch(/x\.json cannot be read/);
    box.add(message({ id: 'z' }));
    await box.turn();
    expect(delivered).toEqual(['z']);
    expect(box.status().dropped).toBe(1);
  });

  it('wait as long as the server asks', async () => {
    const { url, close } = await webhookServer([
      { status: 429, headers: { 'retry-after': '120' } },
      { status: 200 },
    ]);
    const { box, time } = outbox(webhookDestination({ url, secret, timeoutS: 5 }, clock));
    box.add(message());
    await box.turn();
    time.now += 119_000;
    await box.turn();
    expect(box.status()).toMatchObject({ sent: 0, failed: 1 });
    time.now += 1_000;
    await box.turn();
    expect(box.status()).toMatchObject({ sent: 1, waiting: 0 });
    await close();
  });
});
