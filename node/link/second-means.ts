import type { Converter } from '../convert/converter.js';
import { numbersOf, valued } from '../reading/quantity.js';
import type { MissingReason, ProbeId, RawUnit, Reading } from '../reading/reading.js';
import { staleAfterMs } from '../sense/senses.js';
import type { MonotonicMs } from '../time/clock.js';
import { roundedSignal } from './rows.js';

type Second = {
  good: number;
  rawSum: number;
  coldJunctionSum: number;
  uncertaintySum: number;
  timeSum: number;
  rawUnit: RawUnit;
  readonly missing: Map<MissingReason, number>;
};

/**
 * One reading a second for the link, as the mean of the electrical quantity, converted once: the temperature that is
 * stored is exactly the conversion of the raw quantity stored beside it, and noise falls with the root of the samples.
 * A second counts as measured when at least half of its samples were; otherwise its commonest reason is reported.
 *
 * A chip on a busy bus may miss a second in health. Such a second has no reading; the probe is `stale` after as long a
 * silence as everywhere else in the node.
 */
export class SecondMeans {
  private readonly converters: ReadonlyMap<ProbeId, Converter>;
  private seconds = new Map<ProbeId, Second>();
  private readonly lastReason = new Map<ProbeId, MissingReason>();
  private readonly measuredAtMs = new Map<ProbeId, MonotonicMs>();

  constructor(converters: ReadonlyMap<ProbeId, Converter>) {
    this.converters = converters;
  }

  add({ probe, signal, result, readAtMs }: Reading): void {
    const second = this.seconds.get(probe) ?? {
      good: 0,
      rawSum: 0,
      coldJunctionSum: 0,
      uncertaintySum: 0,
      timeSum: 0,
      rawUnit: 'ohm' as RawUnit,
      missing: new Map(),
    };
    this.seconds.set(probe, second);
    if (result.kind === 'measured' && signal) {
      second.good++;
      second.rawSum += signal.raw;
      second.coldJunctionSum += signal.coldJunctionC ?? Number.NaN;
      second.uncertaintySum += numbersOf(result).uncertainty;
      second.timeSum += readAtMs;
      second.rawUnit = signal.rawUnit;
    } else if (result.kind === 'missing')
      second.missing.set(result.reason, (second.missing.get(result.reason) ?? 0) + 1);
  }

  /** One reading for every probe, unless it only happened to miss this second, and starts again. */
  take(nowMs: MonotonicMs): Reading[] {
    const { seconds } = this;
    this.seconds = new Map();
    return [...this.converters].flatMap(([probe, converter]): Reading[] => {
      const second = seconds.get(probe);
      const missed = second ? [...second.missing.values()].reduce((sum, count) => sum + count, 0) : 0;
      if (second && second.good > 0 && second.good >= missed) {
        this.lastReason.delete(probe);
        const mean = meanOf(probe, second, converter);
        this.measuredAtMs.set(probe, mean.readAtMs);
        return [mean];
      }
      const lastReason = this.lastReason.get(probe);
      const measuredAtMs = this.measuredAtMs.get(probe);
      if (!second && lastReason === undefined && measuredAtMs !== undefined)
        if (nowMs - measuredAtMs <= staleAfterMs) return [];
      // A chip that is polled only every other second has nothing new: its last reason remains.
      const reason = second ? commonest(second.missing) : (lastReason ?? 'stale');
      this.lastReason.set(probe, reason);
      return [{ probe, readAtMs: nowMs, result: { kind: 'missing', reason } }];
    });
  }
}

const meanOf = (probe: ProbeId, second: Second, converter: Converter): Reading => {
  const { good, rawSum, coldJunctionSum, uncertaintySum, timeSum, rawUnit } = second;
  const signal = roundedSignal({
    raw: rawSum / good,
    rawUnit,
    ...(!Number.isNaN(coldJunctionSum) && { coldJunctionC: coldJunctionSum / good }),
  });
  const result = converter.measured(signal);
  return {
    probe,
    readAtMs: (timeSum / good) as MonotonicMs,
    signal,
    result:
      result.kind === 'measured'
        ? { kind: 'measured', ...valued(result.quantity, numbersOf(result).value, uncertaintySum / good) }
        : result,
    ...(converter.certificate !== undefined && { certificate: converter.certificate }),
  };
};

const commonest = (missing: ReadonlyMap<MissingReason, number>): MissingReason =>
  [...missing].sort(([, a], [, b]) => b - a)[0]?.[0] ?? 'stale';
