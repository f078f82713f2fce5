import type { ElbowBaseline } from '../../guard/baseline.js';
import { type ElbowKnowledge, type ElbowState, elbowAtRest, stepElbow } from '../../guard/elbow.js';
import { elbowViewOf, type GuardInput, type GuardState, guard, startGuard } from '../../guard/guard.js';
import type { LearnedTuning } from '../../guard/learned-detector.js';
import type { GuardSettings, ProbeSettings } from '../../guard/settings.js';
import { learnedTuning } from '../../guard/tuning.js';
import { type TwinId as Engine, twins as engines } from '../plant/twins.js';
import { twinSettings } from './twin-settings.js';

export const detectorNames = ['A', 'B', 'C', 'D', 'elbowroom'] as const;
export type DetectorName = (typeof detectorNames)[number];
export type Level = 'none' | 'warning' | 'alarm';

/** The numbers of the reference detector D, as a first prototype had them. */
export const referenceTuning: LearnedTuning = {
  ...learnedTuning,
  leadS: { 'strap-on': 6, well: 6, free: 6 },
  leastK: 2.5,
  spreadFactor: 1.35,
  spreadMoreK: 0.3,
  cusumKS: 8,
  cusumCapK: 10,
  steadyTwinK: 2.4,
  steadySingleK: 3.5,
  alarmK: 14,
  alarmCPerS: 0.4,
  mostSoakK: 0,
};

export function campaignSettings(
  probes: readonly ProbeSettings[],
  baselines: ReadonlyMap<string, ElbowBaseline> | undefined,
  runningInput: boolean,
  tuning: LearnedTuning = learnedTuning,
): GuardSettings {
  return {
    probes: probes.map((p) => {
      const baseline = baselines?.get(p.id);
      return baseline ? { ...p, baseline } : p;
    }),
    engines: twinSettings(runningInput),
    // Warnings are counted as warnings here: nobody is aboard to acknowledge them.
    escalateAfterS: Number.MAX_SAFE_INTEGER,
    tuning,
  };
}

type Reference = { heldS: number; rateS: number; limitS: number; c: ElbowState; d: ElbowState };

/** The five detectors side by side on one boat and voyage, all fed the same conditioned channels. */
export class Watchers {
  state: GuardState;
  readonly levels: Record<DetectorName, Record<Engine, Level>>;
  private readonly references: Record<Engine, Reference>;
  private readonly settings: GuardSettings;
  private readonly referenceBaselines: ReadonlyMap<string, ElbowBaseline>;
  private readonly withReferences: boolean;

  constructor(
    settings: GuardSettings,
    referenceBaselines: ReadonlyMap<string, ElbowBaseline>,
    atMs: GuardInput['nowMs'],
    withReferences: boolean,
  ) {
    this.settings = settings;
    this.referenceBaselines = referenceBaselines;
    this.withReferences = withReferences;
    this.state = startGuard(atMs);
    const none = (): Record<Engine, Level> => ({ port: 'none', starboard: 'none' });
    this.levels = { A: none(), B: none(), C: none(), D: none(), elbowroom: none() };
    const fresh = (): Reference => ({ heldS: 0, rateS: 0, limitS: 0, c: elbowAtRest, d: elbowAtRest });
    this.references = { port: fresh(), starboard: fresh() };
  }

  /** Gives the probes that were newly told to stand still and to have fallen off, and the first probe of engines newly unseen. */
  pass(
    input: GuardInput,
    dtS: number,
  ): {
    readonly stuck: readonly string[];
    readonly fallen: readonly string[];
    readonly unseen: readonly string[];
  } {
    const before = this.state.entries;
    const { state, alerts } = guard(this.state, input, this.settings);
    const told = {
      stuck: newlyTold('probe-stuck', before, state.entries),
      fallen: newlyTold('probe-fallen', before, state.entries),
      unseen: newlyTold('cooling-unseen', before, state.entries),
    };
    this.state = state;
    for (const engine of engines) this.levels.elbowroom[engine] = 'none';
    for (const alert of alerts)
      if (
        alert.state !== 'rectified' &&
        alert.engine &&
        alert.priority !== 'caution' &&
        alert.id.startsWith('cooling')
      )
        this.levels.elbowroom[alert.engine as Engine] = alert.priority;
    if (!this.withReferences) return told;
    const residuals = {
      port: this.references.port.d.learned.meanK,
      starboard: this.references.starboard.d.learned.meanK,
    };
    for (const engine of engines)
      this.passReferences(engine, residuals[engine === 'port' ? 'starboard' : 'port'], dtS);
    return told;
  }

  private passReferences(engine: Engine, otherK: number, dtS: number): void {
    const seen = elbowViewOf(this.state, `${engine}-elbow`, this.settings);
    if (!seen || seen.settling) return;
    const view = { ...seen, dtS };
    const reference = this.references[engine];
    const { levels } = this;
    reference.heldS = view.elbowC >= 93 ? reference.heldS + dtS : 0;
    levels.A[engine] = reference.heldS >= 1 ? 'alarm' : 'none';
    reference.rateS = view.slopeCPerS > 0.8 ? reference.rateS + dtS : 0;
    levels.B[engine] = view.elbowC >= 82 || reference.rateS >= 3 ? 'warning' : 'none';
    reference.limitS = view.elbowC >= 82 && view.phase !== 'stopped' ? reference.limitS + dtS : 0;
    const limit: Level =
      reference.heldS >= 1 && view.phase !== 'stopped' ? 'alarm' : reference.limitS >= 2 ? 'warning' : 'none';
    const knowledge: ElbowKnowledge = {
      limitC: 82,
      baseline: undefined,
      otherK: undefined,
      twin: undefined,
      tuning: referenceTuning,
    };
    reference.c = stepElbow(reference.c, view, knowledge);
    levels.C[engine] = graver(limit, reference.c.standing?.finding.priority);
    const baseline = this.referenceBaselines.get(`${engine}-elbow`);
    reference.d = stepElbow(reference.d, view, { ...knowledge, baseline, otherK });
    levels.D[engine] = graver(limit, reference.d.standing?.finding.priority);
  }
}

/** The probes of which this is told now and was not before. */
function newlyTold(
  rule: string,
  before: GuardState['entries'],
  now: GuardState['entries'],
): readonly string[] {
  const toldOf = (entries: GuardState['entries']) =>
    entries.flatMap(({ alert }) =>
      alert.rule === rule && alert.state !== 'rectified' && alert.probe ? [alert.probe] : [],
    );
  const known = toldOf(before);
  return toldOf(now).filter((probe) => !known.includes(probe));
}

const graver = (a: Level, b: Level | undefined): Level =>
  a === 'alarm' || b === 'alarm' ? 'alarm' : a === 'warning' || b === 'warning' ? 'warning' : 'none';
