import { type CalibratedInput, mcp960xChain, thermocoupleCurve } from '../../../calibration/index.js';
import { type Chance, smoothCurve } from './chance.js';
import type { Conditions } from './conditions.js';
import type { TrueProbe } from './coverage.js';

/** Type K wire sold as class 2 on an MCP9601, moved from a cool dock to a hot engine room after its calibration. */
export function trueThermocouple(chance: Chance, conditions: Conditions): TrueProbe {
  const { within, bell, uniform } = chance;
  const k = thermocoupleCurve('K');
  const { size, alikeC } = conditions.wire(chance);
  // A sum of waves over 0 to 1 maps to 0 to 1000 C; bell-shaped at every place, cut where the class ends.
  const shape = smoothCurve(chance, alikeC / 1000);
  const classC = (c: number): number => Math.max(2.5, 0.0075 * Math.abs(c));
  const wireC = (c: number): number => Math.max(-1, Math.min(1, size * 0.7 * shape(c / 1000))) * classC(c);
  const offset = 4 * within() + 2 * bell();
  const gain = 0.002 * within() + 0.0005 * bell();
  const noise = 1 + 2 * uniform();
  const dock = { boardC: 12 + 12 * uniform(), coldErrorC: within() };
  const room = {
    boardC: 25 + 30 * uniform(),
    coldErrorC: dock.coldErrorC + conditions.coldChange(chance),
    gain: gain + 0.0005 * within(),
  };
  const drift = conditions.drift(chance);
  const uneven = 0.0006 * bell();

  const read = (junctionC: number, at: { boardC: number; coldErrorC: number; gain?: number }) => {
    const emf = k.emfMicrovolts(junctionC) - k.emfMicrovolts(at.boardC);
    const amplified = emf * (1 + (at.gain ?? gain)) + offset + noise * bell();
    return {
      raw: 2 * Math.floor(amplified / 2) + 1,
      rawUnit: 'microvolt',
      coldJunctionC: at.boardC + at.coldErrorC,
    } as const;
  };
  const input: CalibratedInput = {
    name: 'probe',
    sensor: { kind: 'thermocouple', type: 'K' },
    chain: mcp960xChain('iec-2'),
  };
  return {
    input,
    atTheTable: (c) => read(c + wireC(c), dock),
    inUse: (c) => read(c + wireC(c) + (drift + uneven) * (c - room.boardC), room),
  };
}
