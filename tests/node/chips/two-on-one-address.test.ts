import { describe, expect, it } from 'vitest';
import { thermocoupleCurve } from '../../../calibration/index.js';
import { Mcp960xChip } from '../../../node/bench/chips/mcp960x.js';
import { Mcp960x } from '../../../node/chips/mcp960x.js';
import { probeWith } from '../kit-with.js';
import { WiredBus } from './wired-bus.js';

const typeK = thermocoupleCurve('K');
const transactionS = 0.006;
const betweenReadingsS = 0.15;
const roomAt = (s: number) => 25 + s / 100;

/** Reads for ten minutes what one chip or two say at one address, and tallies it against the true temperatures. */
const tally = async (hotC: readonly ((s: number) => number)[], seed = 1) => {
  const probe = probeWith({ kind: 'mcp960x', address: 0x67 });
  const { channel } = probe;
  if (channel.kind !== 'mcp960x') throw new Error('wrong kind');
  const chips = hotC.map(
    (_, i) => new Mcp960xChip({ ...probe, id: `chip-${i}` }, channel, seed + 50 * i, false),
  );
  let s = 0;
  const pass = (forS: number) => {
    for (const end = s + forS; s < end; s += 0.002)
      chips.forEach((chip, i) => {
        chip.advance(0.002, { atS: s, elementC: hotC[i]?.(s) ?? 25, boardC: roomAt(s) });
      });
  };
  pass(1);
  const driver = new Mcp960x(new WiredBus(chips, () => pass(transactionS)), 0x67, 'K');
  const seen = { good: 0, refused: 0, worstC: 0 };
  while (s < 600) {
    const answer = await driver.read();
    if (answer.kind === 'fault') seen.refused++;
    else if (answer.fresh) {
      seen.good++;
      const { emfMicrovolts, coldJunctionC } = answer;
      const readC = typeK.temperatureC(emfMicrovolts + typeK.emfMicrovolts(coldJunctionC));
      const truth = hotC.map((at) => at(s));
      seen.worstC = Math.max(seen.worstC, Math.min(...truth) - readC, readC - Math.max(...truth));
    }
    pass(betweenReadingsS);
  }
  return seen;
};

describe('two chips on one address, whose bits the wires AND together', () => {
  it('a lone chip is never suspected: at rest, steady, and as gas swings by 50 C a second', async () => {
    for (const hot of [() => 25, () => 300, (s: number) => 300 + 250 * Math.sin(s / 5)])
      for (const seed of [1, 2]) {
        const { good, refused } = await tally([hot], seed);
        expect(good).toBeGreaterThan(1_000);
        expect(refused).toBeLessThanOrEqual(2);
      }
  });

  it('one in the gas of a running engine, one in the air: hardly an answer in a hundred gets through', async () => {
    const { good, refused } = await tally([(s) => 300 + 5 * Math.sin(s / 7), roomAt]);
    expect(refused).toBeGreaterThan(1_000);
    expect(good / (good + refused)).toBeLessThan(0.01);
  });

  it('the same while the engine idles at 120 C: by chance some get through, but most are refused', async () => {
    const { good, refused } = await tally([(s) => 120 + 5 * Math.sin(s / 7), roomAt]);
    expect(refused).toBeGreaterThan(2 * good);
  });

  it('the two exhausts of one boat, 10 C apart: most answers are refused, and none that gets through is 30 C off', async () => {
    const { good, refused, worstC } = await tally([
      (s) => 300 + 5 * Math.sin(s / 7),
      (s) => 310 + 5 * Math.sin(s / 9),
    ]);
    expect(refused).toBeGreaterThan(4 * good);
    expect(worstC).toBeLessThan(30);
  });

  it('cannot be seen on a cold boat, where both say the same, and is not wrong there', async () => {
    const { good, refused, worstC } = await tally([roomAt, roomAt]);
    expect(good).toBeGreaterThan(20 * refused);
    expect(worstC).toBeLessThan(6);
  });
});
