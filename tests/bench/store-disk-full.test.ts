import { rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { openStoreToRead } from '../../host/store/index.js';
import { systemClock } from '../../node/time/clock.js';
import { startAt } from '../host/store/made-readings.js';
import { startCommand, until } from './house/running-command.js';
import { contentsUpTo, NodeSide } from './store/node-side.js';
import { mayMount, SmallDisk, whyNoMount } from './store/small-disk.js';

type Now = { alerts: { id: string; state: string; message: string }[] };

describe('a full disk', () => {
  it('raises an alert; when there is room again all is stored but what the ring let go, which is counted', async ({
    skip,
  }) => {
    skip(!mayMount(), whyNoMount);
    const disk = SmallDisk.make(16);
    const dataDir = join(disk.mount, 'host');
    const node = new NodeSide(200_000);
    await node.start();
    const host = startCommand(
      ...['host', '--node', `127.0.0.1:${node.port}`, '--data-dir', dataDir, '--page-port', '0'],
    );
    const filler = join(disk.mount, 'filler');
    try {
      const page = await until('the page', () => /http:\/\/\S+/.exec(host.said())?.[0]);
      const alert = async (state: string) => {
        const now = (await (await fetch(new URL('/api/now', page))).json()) as Now;
        return now.alerts.find((a) => a.id === 'host-store:cannot-write' && a.state === state);
      };
      for (let i = 0; i < 19; i++) node.publish();
      await until('the first commit', () => node.confirmedSeq >= 20);
      try {
        for (;;) writeFileSync(filler, Buffer.alloc(4096), { flag: 'a' });
      } catch (cause) {
        expect(String(cause)).toContain('ENOSPC');
      }
      // Room that the log had taken before: filled by what is published until the store cannot continue.
      const raised = await until('the alert', () => {
        for (let i = 0; i < 50; i++) node.publish();
        return alert('unacknowledged');
      });
      expect(raised.message).toMatch(/is full: new readings wait in memory/);
      const stoodAt = node.confirmedSeq;
      // More than the host holds in memory (900 messages) and the ring together.
      await until('the ring to overflow', () => {
        for (let i = 0; i < 50; i++) node.publish();
        return node.framesLost > 2_000;
      });
      expect(node.confirmedSeq).toBe(stoodAt);
      rmSync(filler);
      while (node.published % 10 !== 0) node.publish();
      await until('the host to catch up', () => node.confirmedSeq === node.published);
      expect(await until('the alert to be over', () => alert('rectified'))).toBeTruthy();
      expect(await host.kill().then(() => host.ended)).toBe(0);
      const store = openStoreToRead(dataDir, systemClock);
      const gaps = store.gaps({ from: 0, to: startAt * 2 });
      const held = store.span({ probe: 'port-elbow', from: 0, to: startAt * 2 }).length;
      store.close();
      const lost = gaps.reduce((sum, gap) => sum + (gap.frames ?? 0), 0);
      expect(gaps.every((gap) => gap.reason === 'ring-overflow')).toBe(true);
      // The node counts what was not stored; the host still held some of it in memory.
      expect(lost).toBeGreaterThan(0);
      expect(lost).toBeLessThanOrEqual(node.framesLost);
      const lostReadings = gaps.reduce(
        (sum, { fromSeq = 1, toSeq = 0 }) =>
          sum + contentsUpTo(toSeq).readings - contentsUpTo(fromSeq - 1).readings,
        0,
      );
      expect(held).toBe(contentsUpTo(node.published).readings - lostReadings);
    } finally {
      await host.kill('SIGKILL');
      await node.stop();
      disk.remove();
    }
  });
});
