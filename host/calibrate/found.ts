import { type CalibrationPoint, calibrate, nominalReading, type Session } from '../../calibration/index.js';

/** What one bath showed of a probe, degrees Celsius. */
export type Found = {
  readonly bath: CalibrationPoint['kind'];
  readonly temperatureC: number;
  /** By the maker's curve, less the bath. */
  readonly beforeC: number;
  /** What is left of it with the correction of all baths so far. */
  readonly afterC: number;
};

/** The correction that the points of a probe found so far, bath by bath; empty without points. Throws as `calibrate` does. */
export const foundOf = (session: Session, probe: string): readonly Found[] => {
  const [input, points = []] = [session.probes[probe], session.points[probe]];
  if (!input || points.length === 0) return [];
  const { residualsC } = calibrate(input.sensor, input.chain, points);
  return points.map(({ kind, temperatureC, signal }, i) => ({
    bath: kind,
    temperatureC,
    beforeC: nominalReading(input.sensor, signal).temperatureC - temperatureC,
    afterC: residualsC[i] ?? 0,
  }));
};
