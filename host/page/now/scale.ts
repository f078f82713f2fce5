import type { ProbeNow } from '../../serve/now.js';

/** The stretch of degrees Celsius a rail shows: from cold to a little past the last setpoint, or to what the place can reach. */
export const railSpan = (probe: Pick<ProbeNow, 'place' | 'limits'>): { fromC: number; toC: number } => {
  const last = Math.max(
    probe.limits.alarm?.raiseAtC ?? Number.NEGATIVE_INFINITY,
    probe.limits.warning?.raiseAtC ?? Number.NEGATIVE_INFINITY,
  );
  const gas = probe.place === 'dry-exhaust' || probe.place === 'before-turbo';
  if (Number.isFinite(last)) return { fromC: 0, toC: last * 1.06 };
  return gas
    ? { fromC: 0, toC: 700 }
    : probe.place === 'sea-water'
      ? { fromC: 0, toC: 40 }
      : { fromC: 0, toC: 110 };
};

/** Position along the rail in percent, kept inside it. */
export const along = (temperatureC: number, { fromC, toC }: { fromC: number; toC: number }): number =>
  Math.min(100, Math.max(0, ((temperatureC - fromC) / (toC - fromC)) * 100));
