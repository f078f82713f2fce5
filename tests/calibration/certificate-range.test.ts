import { describe, expect, it } from 'vitest';
import {
  type CalibrationPoint,
  certifiedTemperatureC,
  expandedUncertaintyAt,
  iceBath,
  issueCertificate,
  mcp960xChain,
  referenceBath,
  startSession,
  type ThermocoupleType,
  thermocoupleCurve,
  thermocoupleTypes,
} from '../../calibration/index.js';

/** A type of wire that reads `offC` high everywhere, in ice and in a metal block at 200 C. */
function certificateOf(type: ThermocoupleType, offC: number) {
  const curve = thermocoupleCurve(type);
  const signal = (c: number) =>
    ({
      raw: curve.emfMicrovolts(c + offC) - curve.emfMicrovolts(20),
      rawUnit: 'microvolt',
      coldJunctionC: 20,
    }) as const;
  const points = [iceBath(1), referenceBath(200, 0.3, 2)].map(
    (bath): CalibrationPoint => ({
      ...bath,
      signal: signal(bath.temperatureC),
      scatter: 2,
      readings: 45,
      heldS: 45,
      trendCPerMin: 0,
      takenAt: '2026-01-01T00:00:00Z',
    }),
  );
  const certificate = issueCertificate({
    probe: { id: 'p', name: 'P' },
    issue: 1,
    issuedAt: '2026-01-01T00:00:00Z',
    sensor: { kind: 'thermocouple', type },
    chain: mcp960xChain(),
    points,
  });
  return { certificate, signal };
}

describe('the range of a certificate', () => {
  const types = thermocoupleTypes.filter((type) => type !== 'B');
  it.each(types)(
    'type %s: from ice and a point near 200 C, up to both ends, either sign of its error',
    (type) => {
      for (const offC of [-1.2, 1.2]) {
        const { certificate, signal } = certificateOf(type, offC);
        const { from, to } = certificate.validC;
        expect(to - from).toBeGreaterThan(350);
        for (const c of [from, from + 10, 0, 200, to - 10, to]) {
          const error = certifiedTemperatureC(certificate, signal(c)) - c;
          expect(Math.abs(error), `${type} at ${c} C`).toBeLessThan(expandedUncertaintyAt(certificate, c));
          // Never further off than without the certificate, and at the ends as near as a little inside them.
          expect(Math.abs(error), `${type} at ${c} C`).toBeLessThan(1.2);
        }
        const errorAt = (c: number): number => certifiedTemperatureC(certificate, signal(c)) - c;
        expect(Math.abs(errorAt(from) - errorAt(from + 30))).toBeLessThan(0.4);
        expect(Math.abs(errorAt(to) - errorAt(to - 30))).toBeLessThan(0.2);
      }
    },
  );

  it('type B has none, with the reason: it gives next to no voltage where baths are', () => {
    const chain = mcp960xChain();
    const input = { name: 'Stack', sensor: { kind: 'thermocouple', type: 'B' }, chain } as const;
    expect(() => startSession({ p: input })).toThrow(/^Stack: type B gives next to no voltage/);
    expect(() => certificateOf('B', 0)).toThrow(/type B gives next to no voltage below 250 C/);
  });
});
