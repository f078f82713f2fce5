import {
  boardDivider,
  boilingBath,
  type CalibrationPoint,
  type Certificate,
  iceBath,
  issueCertificate,
  mcp960xChain,
  type ThermistorLaw,
  thermistorOhms,
  thermocoupleCurve,
} from '../../calibration/index.js';

/** The thermistor on the bag, and the one really in the probe: 2 % high, beta 0.6 % low. Invented. */
export const nominalLaw: ThermistorLaw = { law: 'beta', r25Ohms: 10_000, betaK: 3977 };
export const trueLaw: ThermistorLaw = {
  law: 'steinhart-hart-4',
  a: 0.003354016,
  b: 0.000258,
  c: 2.6e-6,
  d: 6.4e-8,
  referenceOhms: 10_200,
};

const pressure = { from: 'station', hectopascals: 1009, altitudeM: 0 } as const;
const taken = { readings: 60, heldS: 60, trendCPerMin: 0.01, takenAt: '2026-03-01T10:00:00.000Z' } as const;

export function thermistorPoints(baths = [iceBath(), boilingBath(pressure)]): readonly CalibrationPoint[] {
  return baths.map((bath) => {
    const ohms = thermistorOhms(trueLaw, bath.temperatureC);
    return { ...bath, ...taken, scatter: ohms * 3e-4, signal: { raw: ohms, rawUnit: 'ohm' } };
  });
}

/** Type K behind an amplifier with an offset of 9 uV and a gain 0.3 % low. */
export function thermocouplePoints(): readonly CalibrationPoint[] {
  const k = thermocoupleCurve('K');
  return [iceBath(), boilingBath(pressure)].map((bath) => ({
    ...bath,
    ...taken,
    scatter: 1.5,
    signal: {
      raw: 0.997 * (k.emfMicrovolts(bath.temperatureC) - k.emfMicrovolts(21)) + 9,
      rawUnit: 'microvolt',
      coldJunctionC: 21,
    },
  }));
}

export const thermistorChain = boardDivider({ resistorOhms: 2200, thermistorSide: 'low' });

export function thermistorCertificate(issue = 1, points = thermistorPoints()): Certificate {
  return issueCertificate({
    probe: { id: 'port-elbow', name: 'Port wet elbow' },
    issue,
    issuedAt: '2026-03-01T10:05:00.000Z',
    sensor: { kind: 'thermistor', law: nominalLaw },
    chain: thermistorChain,
    points,
    alsoAtC: [68],
  });
}

export function thermocoupleCertificate(): Certificate {
  return issueCertificate({
    probe: { id: 'port-exhaust', name: 'Port exhaust gas' },
    issue: 3,
    issuedAt: '2026-03-01T10:05:00.000Z',
    sensor: { kind: 'thermocouple', type: 'K' },
    chain: mcp960xChain('iec-1'),
    points: thermocouplePoints(),
  });
}
