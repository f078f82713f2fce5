import { afterEach, beforeEach, expect, it, vi } from 'vitest';
import { Mcp960x } from '../../node/chips/mcp960x.js';
import { PolledChannel } from '../../node/input/polled-channel.js';
import { type SteppedRig, StillChip, steppedRig, useEmulatedTimers } from './board-rig.js';

let rig: SteppedRig;
beforeEach(() => {
  useEmulatedTimers();
  rig = steppedRig('2.5');
});
afterEach(async () => {
  await rig.link.close();
  vi.useRealTimers();
});

const addresses = [0x60, 0x61, 0x62, 0x63];
const seconds = 3;

/** Healthy samples a second of the first three chips, each asked as often as the bus allows. */
async function rateOfHealthy(chips: readonly number[]): Promise<number> {
  rig.bench.chips.splice(0);
  for (const address of chips) rig.bench.chips.push(new StillChip(address, 4096, 25));
  let healthy = 0;
  const channels = addresses.map((address) => {
    const chip = new Mcp960x(rig.link.i2c, address, 'K');
    const ask = async () => {
      const answer = await chip.read();
      if (answer.kind === 'fault')
        return { kind: 'nothing', reason: 'no-answer', detail: answer.detail } as const;
      if (address !== addresses[3]) healthy += 1;
      const { emfMicrovolts, coldJunctionC } = answer;
      return { kind: 'thermocouple', emfMicrovolts, coldJunctionC } as const;
    };
    return new PolledChannel({ probe: `${address}`, clock: rig.board.clock, everyMs: 1, ask });
  });
  await rig.board.advance(1);
  healthy = 0;
  await rig.board.advance(seconds);
  for (const channel of channels) channel.stop();
  await rig.board.advance(0.5);
  return healthy / seconds;
}

it('one chip unplugged does not slow the other three on the bus', async () => {
  await rig.board.advanceUntil(() => rig.link.status().state === 'connected', 4);
  const withAll = await rateOfHealthy(addresses);
  const withOneDead = await rateOfHealthy(addresses.slice(0, 3));
  console.info(
    `three healthy chips: ${withAll.toFixed(1)} samples a second beside a living fourth, ${withOneDead.toFixed(1)} beside a dead one`,
  );
  expect(withAll).toBeGreaterThan(9);
  expect(withOneDead).toBeGreaterThanOrEqual(withAll);
});
