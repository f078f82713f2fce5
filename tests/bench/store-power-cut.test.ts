import { join } from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';
import { describe, it } from 'vitest';
import { makeRandom } from '../../node/bench/plant/random.js';
import { seed, shortOrLong } from '../long-form.js';
import { startCommand, until } from './house/running-command.js';
import { expectWhole } from './store/expect-whole.js';
import { NodeSide } from './store/node-side.js';
import { mayMount, SmallDisk, whyNoMount } from './store/small-disk.js';

const cuts = shortOrLong(4, 40);
const random = makeRandom(seed);

describe('a power cut', () => {
  it(`${cuts} times (seed ${seed}), by a copy of the live disk: nothing confirmed is missing, the file is sound`, async ({
    skip,
  }) => {
    skip(!mayMount(), whyNoMount);
    const disk = SmallDisk.make(64);
    const dataDir = join(disk.mount, 'host');
    const node = new NodeSide();
    await node.start();
    const load = setInterval(() => {
      for (let i = 0; i < 5; i++) node.publish();
    }, 20);
    const host = startCommand(
      ...['host', '--node', `127.0.0.1:${node.port}`, '--data-dir', dataDir, '--page-port', '0'],
    );
    try {
      for (let cut = 0; cut < cuts; cut++) {
        const from = node.confirmedSeq;
        await until('the host to confirm more', () => node.confirmedSeq > from);
        // Any moment of its work: the moment is what is drawn, so it cannot be a condition.
        await pause(random.between(0, 200));
        host.child.kill('SIGSTOP');
        const { confirmedSeq } = node;
        const after = disk.asAfterPowerCut();
        host.child.kill('SIGCONT');
        try {
          expectWhole(join(after.mount, 'host'), confirmedSeq);
        } finally {
          after.remove();
        }
      }
    } finally {
      clearInterval(load);
      await host.kill('SIGKILL');
      await node.stop();
      disk.remove();
    }
  }, 900_000);
});
