import type { Condition } from '../alerts/condition.js';
import { allEngines } from '../kit/engines.js';
import { boardCondition } from './board-watch.js';
import { faultOf } from './channel-trust.js';
import type { Detector, Scene } from './detector.js';
import { dividersCondition } from './dividers.js';
import { detachedFinding, elbowCondition } from './elbow.js';
import { elbowPairConditions } from './elbow-pair.js';
import { viewOf } from './elbow-views.js';
import { type EngineStates, engineConditions, engineStateOf } from './engine.js';
import { isIdling } from './exhaust-memory.js';
import { detachedProbe, probeFault } from './faults.js';
import { found } from './found.js';
import type { GuardState } from './guard-state.js';
import { highLimit } from './high-limit.js';
import { firstProbeState } from './probe-state.js';
import { judgesPressure } from './pump-sight.js';
import { arrangementOf, engineSaid, type ProbeSettings } from './settings.js';
import { elbowLimits } from './settings-from-kit.js';
import { blindConditions, showsCooling, unprovenConditions } from './sight.js';
import { trendConditions } from './trend-detector.js';

/** Engines that may run while no probe shows whether they are cooled. */
export const unseenCooling: Detector = (scene) => (scene.away ? [] : blindConditions(scene.sight, scene));

/** Elbow probes that have had nothing to respond to for hours. */
export const unprovenProbes: Detector = (scene) => (scene.away ? [] : unprovenConditions(scene.sight, scene));

export const implausibleDividers: Detector = ({ dividers }) =>
  dividers.reportedK === undefined ? [] : [dividersCondition(dividers.reportedK)];

export const lostBoard: Detector = ({ board, nowMs }) => listOf(boardCondition(board, nowMs));

/** Probes that cannot be believed. While the board is away that is its own alert, and no fault of the probes. */
export const faultyProbes: Detector = (scene) =>
  found(scene.settings.probes, (probe) => {
    const fault = faultNow(probe, scene);
    if (!fault) return undefined;
    const { channel } = stateOf(probe, scene);
    return withOtherProbe(probeFault(probe, fault, channel, scene.nowMs, scene.awakeSinceMs), probe, scene);
  });

export const detachedProbes: Detector = (scene) =>
  found(scene.settings.probes, (probe) => {
    const finding = detachedFinding(stateOf(probe, scene).elbow);
    return finding && !scene.away && !faultNow(probe, scene)
      ? withOtherProbe(detachedProbe(probe, finding), probe, scene)
      : undefined;
  });

/** Two probes on one elbow that cannot both be right. */
export const disagreeingElbows: Detector = ({ away, pairs, settings }) =>
  away ? [] : elbowPairConditions(pairs, settings);

export const passedLimits: Detector = (scene) =>
  found(scene.settings.probes, (probe) => {
    const now = stateOf(probe, scene);
    if (!now.alarm.on && !now.warning.on) return undefined;
    return ifIdling(highLimit(probe, now, isStopped(probe, scene.before)), probe, scene.engines);
  });

/** What months say: trends of cooling and gas. */
export const fadingCooling: Detector = (scene) =>
  found(scene.settings.probes, (probe) => {
    const { elbow } = stateOf(probe, scene);
    return elbow ? trendConditions(probe, elbow.trend, engineSaid(probe.engine, scene.settings)) : [];
  });

/** What the learned and the plain detector of each elbow have found. */
export const lostCooling: Detector = ({ settings, probes, engines: engineStates, dtS }) =>
  found(settings.probes, (probe) => {
    const now = probes[probe.id];
    const finding = now?.elbow?.active?.finding;
    if (!now || !finding) return undefined;
    const view = viewOf(probe, now, probes, engineStates, settings, dtS);
    const limitC = probe.alarm?.raiseAt ?? elbowLimits.alarm.raiseAt;
    return ifIdling(elbowCondition(probe, finding, view, limitC), probe, engineStates);
  });

/** Says of a condition of an engine that it idles, where its gas shows that. */
function ifIdling<T extends Condition | undefined>(
  condition: T,
  { engine, baseline }: ProbeSettings,
  engines: EngineStates,
): T {
  const exhaust = engine === allEngines ? undefined : engineStateOf(engines, engine).exhaust;
  return condition && exhaust && isIdling(exhaust, baseline?.gasC)
    ? { ...condition, idles: true }
    : condition;
}

/** Overload, and running inputs that gas or elbow contradict. */
export const doubtfulEngines: Detector = ({ away, settings, engines: engineStates }) =>
  away
    ? []
    : found(settings.engines, (engine) =>
        engineConditions(
          engine,
          engineStateOf(engineStates, engine.id),
          arrangementOf(settings).learnedMaxC.get(engine.id),
        ),
      );

/** Whether the engine of this elbow is known to be stopped. */
export const isStopped = (probe: ProbeSettings, state: GuardState): boolean =>
  probe.place === 'wet-elbow' &&
  probe.engine !== allEngines &&
  engineStateOf(state.engines, probe.engine).run.phase === 'stopped';

/** A fault of one probe, with what still guards its engine. */
const withOtherProbe = (condition: Condition, probe: ProbeSettings, scene: Scene): Condition => {
  const other = otherCoolingProbe(probe, scene);
  return other
    ? {
        ...condition,
        message: `${condition.message} ${other.name} still guards this engine.`,
        variant: other.id,
      }
    : condition;
};

/** Another probe that shows the cooling of the same engine now. */
const otherCoolingProbe = (probe: ProbeSettings, scene: Scene): ProbeSettings | undefined =>
  showsCooling(probe)
    ? scene.settings.probes.find(
        (other) =>
          other.id !== probe.id &&
          other.engine === probe.engine &&
          showsCooling(other) &&
          !scene.sight.probes[other.id]?.lost &&
          !detachedFinding(stateOf(other, scene).elbow) &&
          !cannotJudge(other, scene) &&
          !faultNow(other, scene),
      )
    : undefined;

/** A pressure whose loss would not be found now. */
const cannotJudge = (probe: ProbeSettings, scene: Scene): boolean =>
  probe.place === 'raw-water-pressure' &&
  probe.engine !== allEngines &&
  !judgesPressure(stateOf(probe, scene), engineStateOf(scene.engines, probe.engine), scene.nowMs);

const listOf = <T>(one: T | undefined): readonly T[] => (one === undefined ? [] : [one]);

const stateOf = (probe: ProbeSettings, { probes }: Scene) => probes[probe.id] ?? firstProbeState;

const faultNow = (probe: ProbeSettings, scene: Scene) =>
  scene.away ? undefined : faultOf(stateOf(probe, scene).channel, scene.nowMs, scene.awakeSinceMs);
