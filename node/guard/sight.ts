import type { Condition } from '../alerts/condition.js';
import { allEngines, type Engine } from '../kit/engines.js';
import type { ProbeId } from '../reading/reading.js';
import type { MonotonicMs } from '../time/clock.js';
import { believedC, faultOf, isSettling } from './channel-trust.js';
import { detachedFinding } from './elbow.js';
import { type EngineStates, engineStateOf, firstEngineState } from './engine.js';
import { doubtOf } from './faults.js';
import { found } from './found.js';
import { isWarmElbow, mayRun, mayRunUnseen, stepGasDenies, surelyRuns } from './may-run.js';
import { firstProbeState, type ProbeState } from './probe-state.js';
import { doubtAboutPressure, isPressureUnchanged, pushesAtRest, showsPressure } from './pump-sight.js';
import {
  isUnchangedTooLong,
  type ResponseProof,
  standardProofS,
  stepResponseProof,
  unprovenProbe,
} from './response-proof.js';
import {
  arrangementOf,
  engineSaid,
  type GuardSettings,
  type ProbeSettings,
  standardReminderS,
} from './settings.js';
import { type ProbeSight, type Sight, unknownSight } from './sight-state.js';

/**
 * Longer than a loose plug or a busy bus stays away (0.5 to 15 s in the simulated boats; invented, no source) and far
 * shorter than hose takes to burn: a hose wall reached 120 C 36 s after a total loss at wide open.
 */
export const unseenAfterS = 20;
/** Seen again after this much more judgement than lack of it, so that a bad contact is one alert and not twenty. */
const seenAfterS = 30;
/** A probe that was lost on its way up may have been burnt: then nothing is bridged, K/s. */
const warmingCPerS = 0.3;

/** Raw water never gets colder than sea ice, and no elbow colder than its raw water; common physics, margin for the probes. */
const coldestElbowC = -6;
const coldestUnderSeaK = 10;
/** A cold engine and its probes need a while before that can be said, s. */
const warmThroughS = 120;

/** The probes whose reading shows whether an engine is cooled. One believable one is enough. */
export const showsCooling = ({ place }: ProbeSettings): boolean =>
  place === 'wet-elbow' || place === 'raw-water-pressure';

type Scene = {
  readonly probes: Readonly<Record<ProbeId, ProbeState>>;
  readonly engines: EngineStates;
  readonly settings: GuardSettings;
  readonly nowMs: MonotonicMs;
  readonly awakeSinceMs: MonotonicMs;
};

/** Steps the sight of every probe that shows cooling. Not to be called while the board is away: that is its own alert. */
export function stepSight(before: Sight, scene: Scene, dtS: number): Sight {
  const probes: Record<ProbeId, ProbeSight> = {};
  for (const probe of scene.settings.probes) {
    if (!showsCooling(probe)) continue;
    const { unseenS, lost, ...known } = before.probes[probe.id] ?? unknownSight;
    const now = scene.probes[probe.id] ?? firstProbeState;
    const answering =
      probe.engine === allEngines || probe.place === 'raw-water-pressure'
        ? known.answering
        : stepResponseProof(known.answering, now, engineStateOf(scene.engines, probe.engine), dtS);
    const nextS = isSeen(probe, scene, answering)
      ? Math.max(0, unseenS - dtS)
      : wasWarming(probe, scene)
        ? seenAfterS
        : Math.min(seenAfterS, unseenS + dtS);
    probes[probe.id] = { unseenS: nextS, lost: lost ? nextS > 0 : nextS >= unseenAfterS, answering };
  }
  const gasDeniesS = Object.fromEntries(
    scene.settings.engines.map(({ id }) => [
      id,
      stepGasDenies(before.gasDeniesS[id] ?? 0, engineStateOf(scene.engines, id), dtS),
    ]),
  );
  return { ...before, probes, gasDeniesS };
}

/** Whether this probe showed its engine's cooling in this pass. */
function isSeen(probe: ProbeSettings, scene: Scene, answering: ResponseProof): boolean {
  const state = scene.probes[probe.id] ?? firstProbeState;
  if (probe.place === 'raw-water-pressure') return showsPressure(state, engineOf(probe, scene), scene.nowMs);
  const { channel, elbow } = state;
  const temperatureC = believedC(channel, scene.nowMs);
  if (temperatureC === undefined || isSettling(channel, scene.nowMs) || detachedFinding(elbow)) return false;
  return (
    !isTooCold(probe, temperatureC, scene) && !isUnproven(answering, scene) && !isUnchanged(probe, scene)
  );
}

/** No response for as long again after an alert asked for one. */
const isUnproven = ({ unprovenS }: ResponseProof, { settings }: Scene): boolean =>
  unprovenS >= 2 * (settings.proofEveryS ?? standardProofS);

const engineOf = ({ engine }: ProbeSettings, { engines }: Scene) =>
  engine === allEngines ? firstEngineState : engineStateOf(engines, engine);

function isUnchanged({ id, engine, place }: ProbeSettings, scene: Scene): boolean {
  if (engine === allEngines) return false;
  const state = scene.probes[id] ?? firstProbeState;
  if (place === 'raw-water-pressure')
    return isPressureUnchanged(state, engineStateOf(scene.engines, engine), scene.nowMs);
  const { channel } = state;
  const warm = channel.fastC !== undefined && isWarmElbow(channel.fastC, scene);
  return isUnchangedTooLong(channel, engineStateOf(scene.engines, engine), warm, scene.nowMs);
}

/** Colder than any water that could be in it: a wet plug or a damaged thermistor, which would hide any heat. */
function isTooCold({ engine }: ProbeSettings, temperatureC: number, scene: Scene): boolean {
  if (engine === allEngines) return false;
  const { run } = engineStateOf(scene.engines, engine);
  if (run.phase !== 'running' || run.forS < warmThroughS) return false;
  const { sea } = arrangementOf(scene.settings);
  const seaC = sea && believedC((scene.probes[sea.id] ?? firstProbeState).channel, scene.nowMs);
  return temperatureC < Math.max(coldestElbowC, (seaC ?? Number.NEGATIVE_INFINITY) - coldestUnderSeaK);
}

/** Faulty since it was rising fast: the rate when contact was last sure is kept while nothing new is believed. */
function wasWarming(probe: ProbeSettings, { probes, nowMs, awakeSinceMs }: Scene): boolean {
  const { channel } = probes[probe.id] ?? firstProbeState;
  return faultOf(channel, nowMs, awakeSinceMs) !== undefined && channel.calmCPerS > warmingCPerS;
}

/** A warning for each engine that may run and that no probe shows. */
export function blindConditions(sight: Sight, scene: Scene): readonly Condition[] {
  const { settings, engines: states } = scene;
  return found(settings.engines, ({ id: engine }): readonly Condition[] => {
    const coolingProbes = settings.probes.filter((probe) => probe.engine === engine && showsCooling(probe));
    const first = coolingProbes[0];
    if (!first) return surelyRuns(engineStateOf(states, engine)) ? [noCoolingProbe(engine, settings)] : [];
    if (coolingProbes.some(({ id }) => !sight.probes[id]?.lost)) return [];
    if (
      !coolingProbes.some(
        (probe) =>
          pushesAtRest(scene.probes[probe.id] ?? firstProbeState) ||
          mayRunUnseen(probe, scene, sight.gasDeniesS[engine] ?? 0),
      )
    )
      return [];
    const doubts = coolingProbes.map(
      (probe) => `${probe.name} ${doubtAbout(probe, scene, sight.probes[probe.id]?.answering)}`,
    );
    return [
      {
        situation: 'blind',
        subject: engine,
        rule: 'cooling-unseen',
        priority: 'warning',
        probe: first.id,
        engine,
        message: `Nothing shows whether ${engineSaid(engine, settings)} is cooled: ${doubts.join('; ')}.`,
        evidence: {
          values: { probesLost: coolingProbes.length, probesFitted: coolingProbes.length },
          thresholds: { unseenS: unseenAfterS },
        },
        remindEveryS: settings.reminderEveryS ?? standardReminderS,
        asksFor: [`start-${sight.watch}`, ...faultyProbes(scene)],
      },
    ];
  });
}

/**
 * An engine that runs and on which the kit has no probe that could show its cooling. That is how its owner built it, so
 * it sounds once at each start and stays in sight, and the heart beats for the others.
 */
const noCoolingProbe = (engine: Engine, settings: GuardSettings): Condition => ({
  situation: 'set-up',
  subject: `unguarded-${engine}`,
  rule: 'set-up-unguarded',
  priority: 'warning',
  engine,
  message: `Nothing guards the cooling of ${engineSaid(engine, settings)}: the kit has no elbow or pressure probe on it.`,
  actions: [
    'Watch its own gauges and its water outlet.',
    'Fit a probe on its wet elbow, or take the engine out of the kit file.',
  ],
  evidence: { values: {}, thresholds: {} },
});

/** Probes that have had nothing to respond to for long, on engines that may run: a change of throttle would show. */
export function unprovenConditions(sight: Sight, scene: Scene): readonly Condition[] {
  const proofS = scene.settings.proofEveryS ?? standardProofS;
  return found(scene.settings.probes, (probe): readonly Condition[] => {
    const answering = sight.probes[probe.id]?.answering;
    if (!answering || answering.unprovenS < proofS || probe.engine === allEngines) return [];
    return mayRun(engineStateOf(scene.engines, probe.engine))
      ? [unprovenProbe(probe, answering, proofS)]
      : [];
  });
}

const faultyProbes = ({ settings, probes, nowMs, awakeSinceMs }: Scene): string[] =>
  settings.probes
    .filter(({ id }) => faultOf((probes[id] ?? firstProbeState).channel, nowMs, awakeSinceMs) !== undefined)
    .map(({ id }) => id);

function doubtAbout(probe: ProbeSettings, scene: Scene, answering: ResponseProof | undefined): string {
  const state: ProbeState = scene.probes[probe.id] ?? firstProbeState;
  const { channel, elbow } = state;
  const fault = faultOf(channel, scene.nowMs, scene.awakeSinceMs);
  if (fault) return doubtOf(fault);
  if (detachedFinding(elbow)) return 'seems to hang in the air';
  const temperatureC = believedC(channel, scene.nowMs);
  if (temperatureC !== undefined && isTooCold(probe, temperatureC, scene))
    return `reads ${temperatureC.toFixed(0)} C, colder than the water that cools it`;
  if (isUnchanged(probe, scene)) return 'has said exactly the same for 20 minutes on a running engine';
  const pressure = doubtAboutPressure(state, engineOf(probe, scene));
  if (pressure) return pressure;
  if (answering && isUnproven(answering, scene))
    return 'has for hours had nothing to answer and may have come off: change the throttle';
  return 'has not been steady enough to be judged';
}
