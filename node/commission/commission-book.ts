import { wasColdAtStart } from '../guard/cold-idle.js';
import type { NormalSecond } from '../guard/fit-baseline.js';
import { elbowViewOf, type GuardState } from '../guard/guard.js';
import type { GuardSettings } from '../guard/settings.js';
import type { Engine } from '../kit/engines.js';

/** What was seen of one wet elbow. */
export type ElbowNotes = {
  readonly seconds: NormalSecond[];
  highestC: number;
  /** Highest temperature while its engine was not running: a hot dip shows here. */
  hottestStoppedC: number;
  /** Highest rise over the sea in the first seconds of each cold start, K. */
  readonly coldStartRisesK: number[];
  /** Since the start, when last noted, s. */
  sinceStartS: number;
};

/** What was seen of one engine while running. */
export type EngineNotes = {
  trips: number;
  slams: number;
  hotRestarts: number;
  /** Of the running stretch that continues. */
  stretchS: number;
  wasRisingFast: boolean;
  stoppedS: number;
};

/** All probes of a cold boat: what each read, C. */
export type ColdSoak = Readonly<Record<string, number>>;

/** A running stretch this long is a trip. */
const tripS = 600;
/** Lying this long without running, everything is as cold as the boat. */
const coldAfterS = 6 * 3600;
/** A stop shorter than this before the next start is a hot restart. */
const hotWithinS = 1800;
/** A gap between two records longer than this is unknown, s. */
const gapS = 60;
/** About a week of running at one record a second; more would only repeat it. */
const mostSeconds = 600_000;

/** Takes the guard's own states, about one a second, and keeps what commissioning needs. Pure. */
export class CommissionBook {
  readonly elbows = new Map<string, ElbowNotes>();
  readonly engines: ReadonlyMap<Engine, EngineNotes>;
  coldSoak: ColdSoak | undefined;
  private readonly settings: GuardSettings;
  private notedAtMs = Number.NEGATIVE_INFINITY;

  constructor(settings: GuardSettings) {
    this.settings = settings;
    this.engines = new Map(settings.engines.map(({ id }) => [id, newEngine()]));
    for (const probe of settings.probes)
      if (probe.place === 'wet-elbow')
        this.elbows.set(probe.id, {
          seconds: [],
          highestC: Number.NEGATIVE_INFINITY,
          hottestStoppedC: Number.NEGATIVE_INFINITY,
          coldStartRisesK: [],
          sinceStartS: Number.POSITIVE_INFINITY,
        });
  }

  take(state: GuardState): void {
    const sinceS = (state.atMs - this.notedAtMs) / 1000;
    if (sinceS < 0.9) return;
    this.notedAtMs = state.atMs;
    const dtS = Number.isFinite(sinceS) ? sinceS : 0;
    for (const [engine, notes] of this.engines) this.noteEngine(engine, notes, state, dtS);
    for (const [id, notes] of this.elbows) this.noteElbow(id, notes, state);
  }

  private noteEngine(engine: Engine, notes: EngineNotes, state: GuardState, dtS: number): void {
    const known = state.engines[engine];
    if (!known) return;
    const { run, exhaust } = known;
    // What happened in a gap of the record is unknown; engines that run through one are rare, and nodes that sleep at night not.
    if (dtS > gapS) {
      notes.stretchS = 0;
      notes.stoppedS += dtS;
    }
    if (run.sure) {
      const started = notes.stretchS === 0;
      if (started && notes.stoppedS >= coldAfterS) this.noteColdSoak(state);
      if (started && notes.trips > 0 && notes.stoppedS > 0 && notes.stoppedS < hotWithinS)
        notes.hotRestarts++;
      if (notes.stretchS < tripS && notes.stretchS + Math.min(dtS, gapS) >= tripS) notes.trips++;
      notes.stretchS += dtS > 0 && dtS <= gapS ? dtS : 0.001;
      notes.stoppedS = 0;
      const risingFast = exhaust !== undefined && exhaust.a - exhaust.c > 40;
      if (risingFast && !notes.wasRisingFast) notes.slams++;
      notes.wasRisingFast = risingFast;
    } else {
      notes.stretchS = 0;
      notes.stoppedS += dtS;
    }
  }

  private noteElbow(id: string, notes: ElbowNotes, state: GuardState): void {
    const view = elbowViewOf(state, id, this.settings);
    if (!view || view.settling) return;
    if (view.phase !== 'running') {
      notes.hottestStoppedC = Math.max(notes.hottestStoppedC, view.elbowC);
      return;
    }
    // Seconds of an engine of which only warm metal says that it runs would teach the heat soak of a stop.
    if (!view.sure) return;
    notes.highestC = Math.max(notes.highestC, view.elbowC);
    const { seaC, exhaust, elbowC, slopeCPerS, sinceStartS, warmS } = view;
    if (seaC === undefined || !exhaust) return;
    if (sinceStartS < this.settings.tuning.graceS) {
      if (wasColdAtStart(view)) noteColdStart(notes, elbowC - seaC, sinceStartS);
      return;
    }
    const probe = this.settings.probes.find((p) => p.id === id);
    const [twin] = this.settings.engines.find((engine) => engine.id === probe?.engine)?.alike ?? [];
    const other = twin === undefined ? undefined : state.engines[twin];
    const twinExhaustK = other?.run.sure && other.exhaust ? exhaust.a - other.exhaust.a : undefined;
    if (notes.seconds.length < mostSeconds)
      notes.seconds.push({
        atMs: state.atMs,
        riseK: elbowC - seaC,
        slopeCPerS,
        exhaust,
        seaC,
        warmS,
        sinceStartS,
        ...(twinExhaustK !== undefined && { twinExhaustK }),
      });
  }

  /** Only while no engine has run for long. The latest counts. */
  private noteColdSoak(state: GuardState): void {
    if ([...this.engines.values()].some(({ stretchS }) => stretchS > 60)) return;
    const soak: Record<string, number> = {};
    for (const { id } of this.settings.probes) {
      const slowC = state.probes[id]?.channel.slowC;
      if (slowC !== undefined) soak[id] = slowC;
    }
    this.coldSoak = soak;
  }
}

/** Until its pump has drawn water a healthy elbow warms as a dry one does, and on some boats at every start. */
const noteColdStart = (notes: ElbowNotes, riseK: number, sinceStartS: number): void => {
  if (sinceStartS < notes.sinceStartS) notes.coldStartRisesK.push(riseK);
  const latest = notes.coldStartRisesK.length - 1;
  notes.coldStartRisesK[latest] = Math.max(riseK, notes.coldStartRisesK[latest] ?? riseK);
  notes.sinceStartS = sinceStartS;
};

const newEngine = (): EngineNotes => ({
  trips: 0,
  slams: 0,
  hotRestarts: 0,
  stretchS: 0,
  wasRisingFast: false,
  stoppedS: 0,
});
