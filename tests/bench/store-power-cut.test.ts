import { join } from 'node:path';
import { describe, it } from 'vitest';
import { startCommand, until } from './house/running-command.js';
import { expectWhole } from './store/expect-whole.js';
import { NodeSide } from './store/node-side.js';
import { mayMount, SmallDisk, whyNoMount } from './store/small-disk.js';

/** Forty by `npm run proof:store`. */
const cuts = process.env.ELBOWROOM_FULL ? 40 : 10;

describe('a power cut', () => {
  it(`${cuts} times, by a copy of the live disk: nothing confirmed is missing, the file is sound`, async ({
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
        await new Promise((resolve) => setTimeout(resolve, Math.random() * 200));
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
