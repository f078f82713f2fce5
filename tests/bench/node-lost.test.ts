import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BenchHouse } from './house/bench-boat.js';
import { until } from './house/running-command.js';

describe('what is heard and reported when a part of the chain is gone', () => {
  let house: BenchHouse;
  beforeAll(async () => {
    house = await BenchHouse.open();
    await house.untilLive();
  });
  afterAll(() => house?.close());

  it('the cable is out for 20 s: board lost is reported, nothing is invented, and all comes back by itself', async () => {
    const before = await house.now();
    await house.act({ action: 'unplug' });
    await until('the alert', async () => (await house.now()).alerts.some((a) => a.rule === 'board-lost'));
    const lost = await until('probes without a temperature', async () => {
      const now = await house.now();
      return now.probes.every((p) => p.quality !== 'good') && now;
    });
    expect(lost.probes.every((p) => p.roomC === undefined || p.roomC === null)).toBe(true);
    const { emulatedS: lostAtS } = await house.truth();
    const invented: string[] = [];
    let looks = 0;
    await until('20 s of emulated time', async () => {
      const { probes } = await house.now();
      invented.push(...probes.filter((p) => p.quality === 'good').map((p) => p.id));
      looks++;
      return (await house.truth()).emulatedS - lostAtS >= 20;
    });
    expect(invented).toEqual([]);
    expect(looks).toBeGreaterThan(3);
    await house.act({ action: 'replug' });
    const after = await house.untilLive();
    expect(after.probes.length).toBe(before.probes.length);
    await until('the alert rectified', async () =>
      (await house.now()).alerts.every((a) => a.rule !== 'board-lost' || a.state === 'rectified'),
    );
  });

  it('the node is killed: the missing-pulse circuit sounds within 5 s of emulated time', async () => {
    const beats = await house.truth();
    expect(beats.pins.missingPulseSounding).toBe(false);
    // Read before the kill: whatever the node still does is within the time allowed.
    const beforeKillS = beats.emulatedS;
    await house.kill('node');
    const silent = await until('the missing-pulse circuit', async () => {
      const truth = await house.truth();
      return truth.pins.missingPulseSounding && truth;
    });
    const soundsAfterS = silent.missingPulseSoundsFromS - beforeKillS;
    expect(soundsAfterS).toBeGreaterThan(0);
    expect(soundsAfterS).toBeLessThan(5);
    const now = await until('the page to know', async () => {
      const seen = await house.now();
      return seen.nodes.every((n) => !n.connected) && seen;
    });
    expect(now.probes.every((p) => p.quality !== 'good')).toBe(true);
  });

  it('started again, the node beats and the circuit is quiet', async () => {
    house.startNode();
    await house.untilLive();
    await until('quiet', async () => !(await house.truth()).pins.missingPulseSounding);
  });
});
