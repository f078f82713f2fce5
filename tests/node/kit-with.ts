import { type Kit, kitSchema, type Probe } from '../../node/kit/schema.js';

/** A small kit around the probes of a test; ids default to p0, p1, … */
export const kitWith = (probes: readonly object[], rest: object = {}): Kit =>
  kitSchema.parse({
    kit: 1,
    boat: { name: 'Test hull', invented: true },
    board: { connection: 'auto' },
    outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 },
    probes: probes.map((probe, i) => ({
      id: `p${i}`,
      name: `Probe ${i}`,
      engine: 'port',
      place: 'wet-elbow',
      ...probe,
    })),
    ...rest,
  });

export const probeWith = (channel: object): Probe => {
  const [probe] = kitWith([{ channel }]).probes;
  if (!probe) throw new Error('the kit has no probe');
  return probe;
};

export const beta10k = { law: 'beta', r25Ohms: 10_000, betaK: 3977 } as const;
export const ntcOn = (pin: string, more: object = {}) => ({
  kind: 'ntc-divider',
  pin,
  resistorOhms: 1_000,
  thermistor: beta10k,
  ...more,
});
