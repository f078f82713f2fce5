import { mkdtempSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { describe, expect, it } from 'vitest';
import { makeRandom } from '../../node/bench/plant/random.js';
import { seed, shortOrLong } from '../long-form.js';
import { startCommand, until } from './house/running-command.js';
import { expectWhole } from './store/expect-whole.js';
import { NodeSide } from './store/node-side.js';

const kills = shortOrLong(3, 100);
const random = makeRandom(seed);

describe('a host killed at any moment', () => {
  it(`SIGKILL ${kills} times under load (seed ${seed}): nothing confirmed is missing, nothing is there twice, the file is sound`, async () => {
    const dataDir = mkdtempSync(join(tmpdir(), 'elbowroom-killed-'));
    const node = new NodeSide();
    await node.start();
    const load = setInterval(() => {
      for (let i = 0; i < 5; i++) node.publish();
    }, 20);
    let last = 0;
    for (let kill = 0; kill < kills; kill++) {
      const from = node.confirmedSeq;
      const host = startCommand(
        ...['host', '--node', `127.0.0.1:${node.port}`, '--data-dir', dataDir, '--page-port', '0'],
      );
      await until('the host to confirm something', () => node.confirmedSeq > from);
      // Any moment of its work: the moment is what is drawn, so it cannot be a condition.
      await pause(random.between(0, 300));
      await host.kill('SIGKILL');
      last = expectWhole(dataDir, node.confirmedSeq);
    }
    clearInterval(load);
    const host = startCommand(
      ...['host', '--node', `127.0.0.1:${node.port}`, '--data-dir', dataDir, '--page-port', '0'],
    );
    node.publish();
    while (node.published % 10 !== 0) node.publish();
    await until('the host to catch up', () => node.confirmedSeq === node.published);
    expect(await host.kill().then(() => host.ended)).toBe(0);
    expect(expectWhole(dataDir, node.published)).toBe(node.published);
    expect(node.published).toBeGreaterThan(last);
    expect(node.framesLost).toBe(0);
    await node.stop();
  }, 1_800_000);
});
