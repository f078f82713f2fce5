import { describe, expect, it } from 'vitest';
import {
  missingPulseParts,
  missingPulseTiming,
  secondsToSound,
  staysSilent,
  typicalConditions,
} from '../../../host/plan/missing-pulse.js';
import { stripboardParts, stripsFor } from '../../../host/plan/sketch/stripboard.js';

/**
 * The circuit again, as currents into its nodes and nothing else: exponential diodes, a transistor by its gain,
 * stepped in time. Independent of the closed form it checks.
 */
const simulate = (
  pinAt: (s: number) => number,
  untilS: number,
  drainOhms = missingPulseParts.drainOhms,
): { readonly soundAtS: number[] } => {
  const dt = 1e-4;
  const thermal = 0.0259;
  // Diodes and transistor by the Shockley equation; 25.9 mV is kT/q at 27 C. The diodes and the transistor are
  // typical small-signal parts, from memory. The results below were computed independently by this simulation.
  /** Saturation current that gives 0.6 V at the microamperes this circuit works with. */
  const diodeAmps = (v: number, is: number) => is * (Math.exp(Math.min(v, 0.9) / (1.9 * thermal)) - 1);
  const [r1, r2, r3, r4] = [
    1e3,
    missingPulseParts.baseOhms,
    missingPulseParts.bleedOhms,
    missingPulseParts.gateOhms,
  ];
  const r5 = drainOhms;
  const [c1, c2] = [missingPulseParts.pumpFarads, missingPulseParts.holdFarads];
  const gain = 250;
  /** 1N4148: 0.6 V at about 1 mA. */
  const isDiode = 1e-3 / Math.exp(0.6 / (1.9 * thermal));
  /** Base-emitter junction: 0.6 V at 0.25 mA of collector current. */
  const isBase = 0.25e-3 / gain / Math.exp(0.6 / thermal);
  let [pumpVolts, hold] = [0, 0];
  let sounding = true;
  const soundAtS: number[] = [];
  for (let s = 0; s < untilS; s += dt) {
    // Current through R1 and C1 flows on through D2 to C2, or comes from D1.
    const open = pinAt(s) - pumpVolts;
    let node = open;
    let [low, high] = [-1, 5.5];
    for (let step = 0; step < 40; step++) {
      node = (low + high) / 2;
      const excess =
        (open - node) / r1 + diodeAmps(-node, isDiode) - diodeAmps(node - hold, isDiode) - node / r5;
      if (excess > 0) low = node;
      else high = node;
    }
    const through = (open - node) / r1;
    pumpVolts += (through / c1) * dt;
    let base = 0;
    let [under, over] = [0, 0.8];
    for (let step = 0; step < 30; step++) {
      base = (under + over) / 2;
      const amps = (hold - base) / r2 - base / r3 - isBase * Math.exp(base / thermal);
      if (amps > 0) under = base;
      else over = base;
    }
    hold += ((diodeAmps(node - hold, isDiode) - (hold - base) / r2) / c2) * dt;
    const collector = gain * isBase * Math.exp(base / thermal);
    const gate = Math.max(0, 12.6 - collector * r4);
    if (gate > 2.5 !== sounding) {
      sounding = !sounding;
      if (sounding) soundAtS.push(s);
    }
  }
  return { soundAtS };
};

describe('the missing-pulse circuit', () => {
  const beat = (s: number) => (Math.floor(s * 10) % 2 === 0 ? 0 : 5);

  it('sounds 2.2 s after the last edge, typical parts', () => {
    expect(missingPulseTiming().nominalS).toBeCloseTo(2.2, 1);
  });

  it('sounds between 0.6 s and 3.5 s over parts new or aged and every temperature, well within the 5 s that are promised', () => {
    const timing = missingPulseTiming();
    expect(timing.shortestS).toBeGreaterThan(0.6);
    expect(timing.longestS).toBeLessThan(3.5);
  });

  it.each([0, 5])(
    'agrees within a quarter with a step-by-step simulation when the pin stops at %d V',
    (stuck) => {
      const stopS = 5.15;
      const { soundAtS } = simulate((s) => (s < stopS ? beat(s) : stuck), 10);
      expect(soundAtS.length).toBe(1);
      // The last rising edge was at 5.1 s.
      const simulated = (soundAtS[0] ?? 0) - 5.1;
      expect(simulated).toBeGreaterThan(0.75 * missingPulseTiming().nominalS);
      expect(simulated).toBeLessThan(1.25 * missingPulseTiming().nominalS);
    },
  );

  it('would take half as long again with the pin stuck high if R5 were left out', () => {
    const { soundAtS } = simulate((s) => (s < 5.15 ? beat(s) : 5), 10, 1e12);
    expect((soundAtS[0] ?? 0) - 5.1).toBeGreaterThan(1.5 * missingPulseTiming().nominalS);
  });

  it('stays silent at 10 edges a second with any parts, at 5.2 too, and not at 1', () => {
    expect(missingPulseTiming().slowestEdgesPerS).toBeLessThan(5.2);
    expect(staysSilent(missingPulseParts, { ...typicalConditions, edgesPerS: 10 })).toBe(true);
    expect(staysSilent(missingPulseParts, { ...typicalConditions, edgesPerS: 1 })).toBe(false);
  });

  it('never falls silent for pulses too weak to reach it', () => {
    expect(secondsToSound(missingPulseParts, { ...typicalConditions, pinHighVolts: 1.5 })).toBe(0);
  });

  it('takes longer with bigger capacitors and shorter with a smaller bleed resistor', () => {
    const time = (over: Partial<typeof missingPulseParts>) =>
      missingPulseTiming({ ...missingPulseParts, ...over }).nominalS;
    expect(time({ holdFarads: 47e-6, pumpFarads: 22e-6 })).toBeGreaterThan(time({}));
    expect(time({ bleedOhms: 47e3 })).toBeLessThan(time({}));
  });
});

describe('the stripboard layout is the circuit', () => {
  // Restated by hand from the circuit drawing in hardware-notes/drawings/missing-pulse.svg and lamp.svg; for a diode the
  // anode comes first, for an electrolytic the plus, for a transistor drain, gate, source or collector, base, emitter.
  const feeds = ['Main ignition', 'Generator ignition', 'kit switch'];
  const circuit: Readonly<Record<string, string>> = {
    D4: 'F1: Main ignition > 12 V: buzzer +, lamp +',
    D5: 'F2: Generator ignition > 12 V: buzzer +, lamp +',
    D7: 'F3: kit switch > 12 V: buzzer +, lamp +',
    C3: '12 V: buzzer +, lamp + > 0 V of board, battery minus',
    D8: '0 V of board, battery minus > 12 V: buzzer +, lamp +',
    D6: 'buzzer − > 12 V: buzzer +, lamp +',
    R4: '12 V: buzzer +, lamp + > gate of Q2',
    D3: '0 V of board, battery minus > gate of Q2',
    Q2: 'buzzer − > gate of Q2 > 0 V of board, battery minus',
    Q1: 'gate of Q2 > base of Q1 > 0 V of board, battery minus',
    R2: 'base of Q1 > C2 +',
    R3: 'base of Q1 > 0 V of board, battery minus',
    C2: 'C2 + > 0 V of board, battery minus',
    D2: 'C1 − > C2 +',
    D1: '0 V of board, battery minus > C1 −',
    R5: 'C1 − > 0 V of board, battery minus',
    C1: 'C1 + > C1 −',
    R1: 'C1 + > heartbeat pin',
    Q3: 'buzzer − > gate of Q3 > 0 V of board, battery minus',
    R6: 'gate of Q3 > 0 V of board, battery minus',
    R7: 'gate of Q3 > buzzer pin',
    Q4: 'lamp − > gate of Q4 > 0 V of board, battery minus',
    R8: 'gate of Q4 > 0 V of board, battery minus',
    R9: 'gate of Q4 > lamp pin',
  };

  it('every part has its legs on the strips that the circuit joins it to, and none is left out', () => {
    const placed = Object.fromEntries(
      stripboardParts(missingPulseParts, feeds).map(({ name, legs }) => [
        name,
        legs.map((leg) => stripsFor(feeds)[leg]).join(' > '),
      ]),
    );
    expect(placed).toEqual(circuit);
  });
});
