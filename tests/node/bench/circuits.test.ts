import { describe, expect, it } from 'vitest';
import { Ad8495Output } from '../../../node/bench/circuits/ad8495-output.js';
import { Converter } from '../../../node/bench/circuits/converter.js';
import { MissingPulse } from '../../../node/bench/circuits/missing-pulse.js';
import { NtcDivider } from '../../../node/bench/circuits/ntc-divider.js';
import { RunningInput } from '../../../node/bench/circuits/running-input.js';
import { makeRandom } from '../../../node/bench/plant/random.js';
import type { ProbeFault } from '../../../node/bench/probes/probe-fault.js';
import { kitSchema } from '../../../node/kit/schema.js';

const probeWith = (channel: object) => {
  const kit = kitSchema.parse({
    kit: 1,
    boat: { name: 'Test hull' },
    board: { connection: 'bench' },
    outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 },
    probes: [{ id: 'elbow', name: 'Elbow', engine: 'port', place: 'wet-elbow', channel }],
  });
  const probe = kit.probes[0];
  if (!probe) throw new Error('no probe');
  return probe;
};

function divider(options: { side?: 'low' | 'high'; seed?: number; exact?: boolean } = {}) {
  const { side = 'low', seed = 1, exact = true } = options;
  const thermistor = { law: 'beta', r25Ohms: 10_000, betaK: 3977 };
  const probe = probeWith({
    kind: 'ntc-divider',
    pin: 'A0',
    resistorOhms: 10_000,
    thermistorSide: side,
    thermistor,
  });
  if (probe.channel.kind !== 'ntc-divider') throw new Error('wrong kind');
  return new NtcDivider(probe, probe.channel, seed, exact);
}
const at = (elementC: number, boardC = 25) => ({ atS: 1, elementC, boardC });

describe('the thermistor divider', () => {
  it('halves the supply at 25 C with equal resistors, on either side', () => {
    for (const side of ['low', 'high'] as const) {
      const circuit = divider({ side });
      circuit.advance(0.01, at(25));
      expect(circuit.share()).toBeCloseTo(0.5, 12);
    }
  });

  it('follows the beta equation at 75 C: 10 kohm exp(3977 (1/348.15 - 1/298.15)) = 1472.6 ohm', () => {
    const ohms = 10_000 * Math.exp(3977 * (1 / 348.15 - 1 / 298.15));
    expect(ohms).toBeCloseTo(1472.6, 0);
    const [low, high] = [divider({ side: 'low' }), divider({ side: 'high' })];
    for (const circuit of [low, high]) circuit.advance(0.01, at(75));
    expect(low.share()).toBeCloseTo(ohms / (ohms + 10_000), 9);
    expect(high.share()).toBeCloseTo(10_000 / (ohms + 10_000), 9);
  });

  const rails: readonly [ProbeFault, number, number][] = [
    ['open', 1, 0],
    ['short', 0, 1],
    ['short-to-ground', 0, 0],
    ['short-to-supply', 1, 1],
  ];
  it.each(rails)('%s is at %d of the supply on the low side and %d on the high side', (fault, low, high) => {
    for (const [side, share] of [
      ['low', low],
      ['high', high],
    ] as const) {
      const circuit = divider({ side });
      circuit.fault = fault;
      circuit.advance(0.01, at(25));
      expect(circuit.share()).toBe(share);
    }
  });

  it('a wrong resistor, ten times too small, makes 25 C look like 10 kohm over 1 kohm', () => {
    const circuit = divider();
    circuit.fault = 'wrong-resistor';
    circuit.advance(0.01, at(25));
    expect(circuit.share()).toBeCloseTo(10 / 11, 9);
  });

  it('hides in every probe deviations of its own that its parts may have, the same for the same seed', () => {
    const shares = [1, 2, 3, 4, 5, 6, 7, 8].map((seed) => {
      const circuit = divider({ seed, exact: false });
      circuit.advance(0.01, at(25));
      return circuit.share();
    });
    expect(new Set(shares).size).toBe(shares.length);
    // Two parts of 1 % each around one half: at most half a percent of the supply.
    expect(Math.max(...shares.map((share) => Math.abs(share - 0.5)))).toBeLessThan(0.00501);
    const again = divider({ seed: 3, exact: false });
    again.advance(0.01, at(25));
    expect(again.share()).toBe(shares[2]);
  });

  it('a loose connection breaks in bursts: mostly whole, now and then at the rail', () => {
    const circuit = divider();
    circuit.fault = 'loose';
    let broken = 0;
    let bursts = 0;
    let lastBrokenAt = -1000;
    for (let step = 0; step < 60_000; step++) {
      circuit.advance(0.01, at(25));
      if (circuit.share() !== 1) continue;
      broken++;
      if (step - lastBrokenAt > 60) bursts++;
      lastBrokenAt = step;
    }
    expect(broken / 60_000).toBeGreaterThan(0.03);
    expect(broken / 60_000).toBeLessThan(0.3);
    expect(bursts).toBeGreaterThan(100);
  });
});

describe('the AD8495 output', () => {
  const amplifier = (fault?: ProbeFault) => {
    const probe = probeWith({ kind: 'ad8495', pin: 'A3' });
    if (probe.channel.kind !== 'ad8495') throw new Error('wrong kind');
    const output = new Ad8495Output(probe, probe.channel, 5, 1, true);
    output.fault = fault;
    output.advance(0.01, at(500, 25));
    return output.share() * 5;
  };
  // ITS-90 table of type K (NIST SRD 60): 20.644 mV at 500 C, 1.000 mV at 25 C, to 0.0005 mV.
  const difference = 122.4 * (20.644e-3 - 1.0e-3);

  it('is at 122.4 (E(500) - E(25)) + 5 mV/C of 25 C', () => {
    expect(amplifier()).toBeCloseTo(difference + 0.125, 3);
  });
  it('swapped wires turn the difference around, and the output stops at its lower rail', () => {
    expect(amplifier('reversed')).toBeCloseTo(0.03, 6);
  });
  it('touching wires read the terminal block: 125 mV at 25 C', () => {
    expect(amplifier('short')).toBeCloseTo(0.125, 9);
  });
  it('a broken wire drives it to the upper rail', () => {
    expect(amplifier('open')).toBeCloseTo(4.97, 6);
  });
});

describe('the converter', () => {
  it('has noise of 0.8 counts and, when exact, no offset', () => {
    const converter = new Converter(makeRandom(7), true);
    const counts = Array.from({ length: 20_000 }, () => converter.counts(0.5) - 512);
    const mean = counts.reduce((sum, value) => sum + value, 0) / counts.length;
    const deviation = Math.sqrt(counts.reduce((sum, value) => sum + (value - mean) ** 2, 0) / counts.length);
    expect(Math.abs(mean)).toBeLessThan(0.03);
    expect(deviation).toBeCloseTo(0.8, 1);
  });
});

describe('the missing-pulse circuit', () => {
  it('is armed at power-up, is quiet while edges come, and sounds 2.5 s after the last one', () => {
    const circuit = new MissingPulse(2.5);
    expect(circuit.isSounding(2.5)).toBe(false);
    expect(circuit.isSounding(2.51)).toBe(true);
    circuit.edge(4);
    expect(circuit.isSounding(4.1)).toBe(false);
    for (let atS = 4; atS < 20; atS += 2.4) circuit.edge(atS);
    expect(circuit.isSounding(20)).toBe(false);
    expect(circuit.edges).toBe(8);
  });
});

describe('the running input', () => {
  it.each([
    [true, true, false],
    [true, false, true],
    [false, true, true],
    [false, false, false],
  ])('active low %s and running %s gives level %s', (activeLow, running, level) => {
    const input = new RunningInput({ pin: 2, activeLow });
    input.advance(running);
    expect(input.level).toBe(level);
  });

  it('stuck on or off it ignores the engine', () => {
    const input = new RunningInput({ pin: 2, activeLow: false });
    input.fault = 'off';
    input.advance(true);
    expect(input.level).toBe(false);
    input.fault = 'on';
    input.advance(false);
    expect(input.level).toBe(true);
    input.fault = 'chatter';
    const levels = [1, 2, 3, 4].map(() => {
      input.advance(true);
      return input.level;
    });
    expect(levels).toEqual([false, true, false, true]);
  });
});
