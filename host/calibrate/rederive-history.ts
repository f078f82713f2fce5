import {
  type Certificate,
  certificateName,
  rederivationUnder,
  uncertaintiesUnder,
  unitOf,
} from '../../calibration/index.js';
import type { Quality } from '../../node/index.js';
import { type Columns, qualityOfMark, type Series, type Store } from '../store/index.js';

export type Rederived = {
  /** The series the new values are in; the old ones stay where they are. */
  readonly into: string;
  readonly readings: number;
  /** Seconds that never had a raw quantity: the probe was disconnected. */
  readonly withoutRaw: number;
  /** Raw quantities that have no temperature under this certificate. */
  readonly refused: number;
  readonly added: number;
  readonly already: number;
  /** New minus old, where both are there. */
  readonly meanShiftC: number;
  readonly largestShiftC: number;
};

/** The name of the series that holds readings of a probe under one certificate. */
export const seriesUnder = (certificate: Certificate): string =>
  `${certificate.probe.id}-cert-${certificate.issue}`;

/** Recomputes a span of one series under a certificate and stores it beside the old values. */
export function rederiveHistory(
  store: Store,
  series: Series,
  certificate: Certificate,
  span: { readonly from: number; readonly to: number },
): Rederived {
  const rederive = rederivationUnder(certificate);
  const uncertaintyC = uncertaintiesUnder(certificate);
  const into = seriesUnder(certificate);
  const sum = {
    readings: 0,
    withoutRaw: 0,
    refused: 0,
    added: 0,
    already: 0,
    shifts: 0,
    shift: 0,
    largest: 0,
  };
  // Read whole before the first write, so that reading and writing do not meet.
  for (const columns of [...store.columns(series, span.from, span.to)]) {
    const kept = withRaw(columns);
    sum.withoutRaw += columns.length - kept.length;
    const raw = Float64Array.from(kept, (i) => columns.raw[i] as number);
    const coldJunctionC = Float64Array.from(kept, (i) => columns.coldJunctionC[i] as number);
    const temperatureC = new Float64Array(kept.length);
    sum.refused += rederive({ raw, coldJunctionC }, temperatureC).refused;
    sum.readings += kept.length;
    kept.forEach((i, k) => {
      const now = temperatureC[k] as number;
      if (Number.isNaN(now) || qualityOfMark(columns.marks[i] as number) !== 'good') return;
      const shift = now - (columns.milli[i] as number) / 1000;
      sum.shifts++;
      sum.shift += shift;
      if (Math.abs(shift) > Math.abs(sum.largest)) sum.largest = shift;
    });
    if (kept.length === 0) continue;
    const withCold = certificate.sensor.kind === 'thermocouple';
    const taken = store.addHistory({
      node: series.probe.node ?? 'rederived',
      probe: into,
      rate: series.rate,
      at: Float64Array.from(kept, (i) => columns.at[i] as number),
      temperatureC: temperatureC.map((t) => (Number.isNaN(t) ? 0 : t)),
      quality: Array.from(temperatureC, (t): Quality => (Number.isNaN(t) ? 'implausible' : 'good')),
      raw,
      rawUnit: unitOf(certificate.sensor),
      ...(withCold ? { coldJunctionC } : {}),
      uncertaintyC: temperatureC.map((t) => (Number.isNaN(t) ? 0 : uncertaintyC(t))),
      certificate: certificateName(certificate),
    });
    sum.added += taken.added;
    sum.already += taken.already;
  }
  return {
    into,
    readings: sum.readings,
    withoutRaw: sum.withoutRaw,
    refused: sum.refused,
    added: sum.added,
    already: sum.already,
    meanShiftC: sum.shifts > 0 ? sum.shift / sum.shifts : 0,
    largestShiftC: sum.largest,
  };
}

/** Places of the readings that kept a raw quantity. */
function withRaw(columns: Columns): readonly number[] {
  const kept: number[] = [];
  for (let i = 0; i < columns.length; i++) if (hasRaw(columns.marks[i] as number)) kept.push(i);
  return kept;
}

/** A mark with a unit of the raw quantity in it. */
const hasRaw = (mark: number): boolean => (mark & 0x30) !== 0;
