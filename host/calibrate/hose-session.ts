import { mean, sampleStandardDeviation } from 'simple-statistics';
import type { HosePoint } from '../../calibration/index.js';
import type { Clock } from '../../node/index.js';
import { listenToNode } from './live-readings.js';

/** Seconds of readings for one height: the mean of each is a mean of eighty conversions already. */
const secondsEach = 10;
/** The surface swings for a moment after the hose was moved, s. */
const settleS = 3;

/**
 * The readings of one probe while the hose is held at a height. Rejects after `timeoutS` without enough of them, saying
 * what the probe gave instead.
 */
export async function takeHeight(options: {
  readonly node: string;
  readonly clock: Clock;
  readonly probe: string;
  readonly heightM: number;
  readonly timeoutS: number;
}): Promise<HosePoint> {
  const { node, clock, probe, heightM, timeoutS } = options;
  const volts: number[] = [];
  let last = 'nothing came from it';
  const done = new AbortController();
  const startS = clock.monotonicMs() / 1000;
  const timeout = setTimeout(() => done.abort(), timeoutS * 1000);
  await listenToNode(node, clock, done.signal, (event) => {
    if (event.kind !== 'row' || event.row.probe !== probe) return;
    const { quality, raw } = event.row;
    last = quality;
    if (event.atS - startS < settleS) return;
    if (quality !== 'good' || raw === undefined) volts.length = 0;
    else volts.push(raw);
    if (volts.length >= secondsEach) done.abort();
  }).finally(() => clearTimeout(timeout));
  if (volts.length < secondsEach)
    throw new Error(
      `${probe} gave ${volts.length} of ${secondsEach} good seconds at ${heightM} m (last: ${last}). Is elbowroom watch running? Then look at: elbowroom wiring`,
    );
  return {
    heightM,
    volts: mean(volts),
    scatterVolts: sampleStandardDeviation(volts),
    readings: volts.length,
  };
}
