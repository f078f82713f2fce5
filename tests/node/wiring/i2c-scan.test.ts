import { afterEach, beforeEach, expect, test, vi } from 'vitest';
import type { TwoWireChip } from '../../../node/bench/board/two-wire-bus.js';
import { Mcp960xChip } from '../../../node/bench/chips/mcp960x.js';
import { I2cScan } from '../../../node/wiring/i2c-scan.js';
import { WiredBus } from '../chips/wired-bus.js';
import { kitWith, ntcOn, probeWith } from '../kit-with.js';

beforeEach(() => {
  vi.useFakeTimers();
});
afterEach(() => {
  vi.useRealTimers();
});

const chipAt = (address: number): Mcp960xChip => {
  const probe = probeWith({ kind: 'mcp960x', address });
  if (probe.channel.kind !== 'mcp960x') throw new Error('wrong kind');
  return new Mcp960xChip(probe, probe.channel, 1, true);
};
const kit = kitWith([{ channel: { kind: 'mcp960x', address: 0x67 }, place: 'dry-exhaust' }]);
/** Twelve addresses less the kit's one, a quarter of a second each. */
const roundMs = 11 * 250;

test('names a chip that answers where the kit has none, within a round, and forgets it when it is gone', async () => {
  const chips: TwoWireChip[] = [chipAt(0x67), chipAt(0x61)];
  const scan = new I2cScan(kit, new WiredBus(chips, () => {}));
  await vi.advanceTimersByTimeAsync(roundMs);
  expect([...scan.found]).toEqual([[0x61, 'MCP9601']]);
  chips.pop();
  await vi.advanceTimersByTimeAsync(roundMs);
  expect(scan.found.size).toBe(0);
  scan.stop();
  expect(vi.getTimerCount()).toBe(0);
});

test('leaves the bus alone where the kit has no chip', async () => {
  let asked = 0;
  const bus = new WiredBus([], () => {
    asked++;
  });
  const scan = new I2cScan(kitWith([{ channel: ntcOn('A0') }]), bus);
  await vi.advanceTimersByTimeAsync(roundMs);
  expect(asked).toBe(0);
  scan.stop();
});
