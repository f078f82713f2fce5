import { poissonInterval, quantile } from './statistics.js';
import { type DetectorName, detectorNames } from './watchers.js';

export const lossLoads = ['idle', 'cruise', 'wideOpen'] as const;
export type LossLoad = (typeof lossLoads)[number];
export type MountingKey = 'strap' | 'well';

/** Delays of one kind of fault, s; a missed one is counted and has no delay. */
export class Delays {
  readonly delaysS: number[] = [];
  missed = 0;

  add(delayS: number | undefined): void {
    if (delayS === undefined) this.missed++;
    else this.delaysS.push(delayS);
  }

  get n(): number {
    return this.delaysS.length + this.missed;
  }

  /** A missed fault counts as an endless delay, so that missing never looks quick. */
  summary(): { medianS: number | null; p95S: number | null; missed: number; n: number } {
    const all = [...this.delaysS, ...new Array<number>(this.missed).fill(Number.POSITIVE_INFINITY)];
    const finite = (value: number) => (Number.isFinite(value) ? Math.round(value * 10) / 10 : null);
    return {
      medianS: finite(quantile(all, 0.5)),
      p95S: finite(quantile(all, 0.95)),
      missed: this.missed,
      n: this.n,
    };
  }
}

const perLoad = (): Record<LossLoad, Delays> => ({
  idle: new Delays(),
  cruise: new Delays(),
  wideOpen: new Delays(),
});

/** Everything one detector is judged by. */
export class Score {
  falseWarnings = 0;
  falseAlarms = 0;
  readonly fullLoss: Record<MountingKey, Record<LossLoad, Delays>> = { well: perLoad(), strap: perLoad() };
  readonly impeller = new Delays();
  readonly strainerFlowLeft: number[] = [];
  strainerMissed = 0;
  hoseReached = 0;
  hoseUnwarned = 0;
  /** Warnings about an elbow whose own probe had fallen off or broken: something is wrong there, though not the water. */
  brokenProbeWarnings = 0;

  summary(runningHours: number) {
    const rate = (count: number) => (1000 * count) / Math.max(1e-9, runningHours);
    const interval = (count: number) => poissonInterval(count).map(rate);
    return {
      falseWarningsPer1000h: rate(this.falseWarnings),
      falseWarningsInterval95: interval(this.falseWarnings),
      falseAlarmsPer1000h: rate(this.falseAlarms),
      falseAlarmsInterval95: interval(this.falseAlarms),
      falseWarnings: this.falseWarnings,
      falseAlarms: this.falseAlarms,
      runningHours,
      fullLoss: {
        well: summaries(this.fullLoss.well),
        strap: summaries(this.fullLoss.strap),
      },
      impeller: this.impeller.summary(),
      strainer: {
        flowLeftMedian: this.flowLeft(0.5),
        flowLeftP5: this.flowLeft(0.05),
        missed: this.strainerMissed,
        n: this.strainerFlowLeft.length + this.strainerMissed,
      },
      brokenProbeWarnings: this.brokenProbeWarnings,
      hose120: { reached: this.hoseReached, unwarned: this.hoseUnwarned },
    };
  }

  /** Flow left at the warning; a missed ramp counts as nothing left. */
  private flowLeft(share: number): number {
    return quantile([...this.strainerFlowLeft, ...new Array<number>(this.strainerMissed).fill(0)], share);
  }
}

const summaries = (loads: Record<LossLoad, Delays>) => ({
  idle: loads.idle.summary(),
  cruise: loads.cruise.summary(),
  wideOpen: loads.wideOpen.summary(),
});

export class Scores {
  runningHours = 0;
  voyages = 0;
  faults = 0;
  stops = 0;
  falseAtStopsWithoutInput = 0;
  /** Cautions that a probe stands still, on boats whose probes do not. */
  falseStuck = 0;
  /** Cautions that a probe has fallen off, on boats where it sits well. */
  falseFallen = 0;
  /** Warnings that an engine runs unseen, on boats whose elbow probe is neither broken nor fallen. */
  falseUnseen = 0;
  /** What was wrong, or `healthy`, and which rule spoke, for each false alert of the last detector. */
  readonly falseByRule = new Map<string, number>();
  readonly detectors = Object.fromEntries(detectorNames.map((name) => [name, new Score()])) as Record<
    DetectorName,
    Score
  >;

  summary() {
    return {
      voyages: this.voyages,
      faults: this.faults,
      runningHours: this.runningHours,
      falseStuck: this.falseStuck,
      falseFallen: this.falseFallen,
      falseUnseen: this.falseUnseen,
      falseUnseenPer1000h: (1000 * this.falseUnseen) / Math.max(1e-9, this.runningHours),
      falseUnseenInterval95: poissonInterval(this.falseUnseen).map(
        (n) => (1000 * n) / Math.max(1e-9, this.runningHours),
      ),
      withoutRunningInput: {
        stops: this.stops,
        falsePer1000Stops: (1000 * this.falseAtStopsWithoutInput) / Math.max(1, this.stops),
        interval95: poissonInterval(this.falseAtStopsWithoutInput).map(
          (n) => (1000 * n) / Math.max(1, this.stops),
        ),
      },
      falseByRule: Object.fromEntries(this.falseByRule),
      detectors: Object.fromEntries(
        detectorNames.map((name) => [name, this.detectors[name].summary(this.runningHours)]),
      ) as Record<DetectorName, ReturnType<Score['summary']>>,
    };
  }
}
