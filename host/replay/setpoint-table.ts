import {
  allEngines,
  clearedLatch,
  type Engine,
  type GuardInput,
  type GuardSettings,
  type GuardState,
  type Latch,
  stepLatch,
  temperatureOf,
} from '../../node/index.js';

/** How often a high limit at this temperature would have been raised by one elbow. */
export type SetpointRow = {
  readonly probe: string;
  readonly raiseAtC: number;
  readonly times: number;
  /** Absent when the engine is not known to have run. */
  readonly per1000h?: number;
};

const candidatesC = [50, 55, 60, 65, 70, 75, 80, 85, 90, 95, 100];
/** Way back and hold of every candidate. */
const clearBelowK = 6;
const holdS = 2;

type Elbow = {
  readonly probe: string;
  readonly engine: Engine;
  readonly latches: Latch[];
  readonly times: number[];
  lastAtMs: number;
  quiet: boolean;
};

/** Counts, for each wet elbow, the raisings at candidate limits while its engine was not known to be stopped. */
export class SetpointTable {
  private readonly elbows: ReadonlyMap<string, Elbow>;

  constructor(settings: GuardSettings) {
    this.elbows = new Map(
      settings.probes.flatMap(({ id, place, engine }) =>
        place !== 'wet-elbow' || engine === allEngines
          ? []
          : [
              [
                id,
                {
                  probe: id,
                  engine,
                  latches: candidatesC.map(() => clearedLatch),
                  times: candidatesC.map(() => 0),
                  lastAtMs: 0,
                  quiet: true,
                },
              ],
            ],
      ),
    );
  }

  take(input: GuardInput, state: GuardState): void {
    for (const reading of input.readings) {
      const { probe, readAtMs } = reading;
      const elbow = this.elbows.get(probe);
      const temperatureC = temperatureOf(reading);
      if (!elbow || temperatureC === undefined) continue;
      const dtS = Math.min(2, (readAtMs - elbow.lastAtMs) / 1000);
      elbow.lastAtMs = readAtMs;
      if (state.engines[elbow.engine]?.run.phase === 'stopped') continue;
      if (elbow.quiet && temperatureC < (candidatesC[0] as number) - clearBelowK) continue;
      this.step(elbow, temperatureC, dtS);
    }
  }

  private step(elbow: Elbow, temperatureC: number, dtS: number): void {
    elbow.quiet = true;
    candidatesC.forEach((raiseAt, i) => {
      const before = elbow.latches[i] ?? clearedLatch;
      const after = stepLatch(before, temperatureC, { raiseAt, clearAt: raiseAt - clearBelowK, holdS }, dtS);
      elbow.latches[i] = after;
      if (after.on && !before.on) elbow.times[i] = (elbow.times[i] ?? 0) + 1;
      if (after !== clearedLatch) elbow.quiet = false;
    });
  }

  rows(ran: readonly { readonly engine: Engine; readonly hours: number }[]): readonly SetpointRow[] {
    return [...this.elbows.values()].flatMap((elbow) =>
      candidatesC.map((raiseAtC, i) => {
        const times = elbow.times[i] ?? 0;
        const hours = ran.find(({ engine }) => engine === elbow.engine)?.hours ?? 0;
        return {
          probe: elbow.probe,
          raiseAtC,
          times,
          ...(hours > 0 && { per1000h: Math.round((100_000 * times) / hours) / 100 }),
        };
      }),
    );
  }
}
