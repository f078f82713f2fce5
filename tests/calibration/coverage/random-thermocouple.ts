import { calibrateThermocouple, mcp960xChain, thermocoupleCurve } from '../../../calibration/index.js';
import type { Chance } from './chance.js';
import { type CalibratedProbe, pointFrom, randomBaths } from './random-sessions.js';

const plans = [['ice'], ['ice', 'boiling'], ['ice', 'boiling', 'reference']] as const;

/**
 * Type K wire of class 2 on an MCP9601 with an offset, a gain and a cold junction that are all a little off, moved from
 * a cool dock to a hot engine room after its calibration.
 */
export function randomThermocouple(chance: Chance, points: 1 | 2 | 3): CalibratedProbe {
  const { within, bell, uniform } = chance;
  const k = thermocoupleCurve('K');
  const offset = 5 * bell();
  const gain = points === 1 ? 0 : 0.002 * bell();
  const wire = within();
  const noise = 1 + 2 * uniform();
  const dockC = 12 + 12 * uniform();
  const roomC = 25 + 30 * uniform();
  const dockColdError = within();
  const roomColdError = dockColdError + 0.5 * within();
  const roomGain = 0.0005 * within();
  const hottest = points === 1 ? 0 : 100;

  /** Class 2 of IEC 60584-1, with the freedom the wire has away from the points. */
  const wireC = (trueC: number): number => {
    const limit = Math.max(2.5, 0.0075 * Math.abs(trueC));
    if (trueC > hottest) return wire * limit * Math.min(1, (trueC - hottest) / 100);
    return wire * limit * 0.4 * (trueC / 100) * (1 - trueC / 100);
  };
  const read = (trueC: number, boardC: number, extraGain: number): number => {
    const emf = k.emfMicrovolts(trueC + wireC(trueC)) - k.emfMicrovolts(boardC);
    const amplified = emf * (1 + gain + extraGain) + offset + noise * bell();
    return 2 * Math.floor(amplified / 2) + 1;
  };

  const settled = randomBaths(chance, plans[points - 1] ?? plans[1]).map(({ believed, trueC }) =>
    pointFrom(
      believed,
      Array.from({ length: 40 }, () => read(trueC, dockC, 0)),
      'microvolt',
      dockC + dockColdError,
    ),
  );
  const calibration = calibrateThermocouple(
    { kind: 'thermocouple', type: 'K' },
    mcp960xChain('iec-2'),
    settled,
  );
  return {
    calibration,
    readAt: (trueC) => {
      const { model } = calibration;
      if (model.kind !== 'thermocouple') throw new Error('a thermocouple got the model of a thermistor');
      const emf = read(trueC, roomC, roomGain);
      const cold = k.emfMicrovolts(roomC + roomColdError);
      return k.temperatureC(emf + model.offsetMicrovolts + model.gain * emf + cold);
    },
  };
}
