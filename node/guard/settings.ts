import { inWords } from '../alerts/engine-words.js';
import { allEngines, type Engine, type EngineKind } from '../kit/engines.js';
import type { Place } from '../kit/places.js';
import type { ProbeId } from '../reading/reading.js';
import type { ElbowBaseline } from './baseline.js';
import type { LatchLimit } from './latch.js';
import type { LearnedTuning } from './learned-state.js';
import type { NormalBounds } from './normal-bounds.js';

export type ProbeSettings = {
  readonly id: ProbeId;
  readonly name: string;
  /** The id of an engine, or `all`. */
  readonly engine: Engine;
  readonly place: Place;
  readonly mounting: 'strap-on' | 'well' | 'free';
  /** A divider on a thermistor, or an amplifier that measures its own cold junction; absent for any other. */
  readonly input?: 'divider' | 'amplifier';
  readonly alarm?: LatchLimit;
  readonly warning?: LatchLimit;
  /** What commissioning learned; only for wet elbows, absent until it has learned enough. */
  readonly baseline?: ElbowBaseline;
  /** Of a wet elbow that commissioning met but refused to arm: how far normal running took it. */
  readonly bounds?: NormalBounds;
};

export type EngineSettings = {
  readonly id: Engine;
  /** As the owner calls it. */
  readonly name: string;
  readonly kind: EngineKind;
  /** Whether a digital running input is wired. */
  readonly runningInput: boolean;
  /** The other engines it is compared with; empty where there is none of its kind and work. */
  readonly alike: readonly Engine[];
};

/** How often an acknowledged blindness is called to mind where the kit says nothing, s. */
export const standardReminderS = 600;

/** All settings of the guard. Plain data; the same object serves every pass. */
export type GuardSettings = {
  readonly probes: readonly ProbeSettings[];
  readonly engines: readonly EngineSettings[];
  /** A warning that is not acknowledged for this long rises to alarm (MSC.302(87) 6.2.2). */
  readonly escalateAfterS: number;
  readonly tuning: LearnedTuning;
  /** How often an acknowledged blindness is called to mind, s; ten minutes unless given. */
  readonly reminderEveryS?: number;
  /** How long an elbow probe may go without a sign of life on a running engine before one is asked for, s; two hours unless given. */
  readonly proofEveryS?: number;
};

/** Which probe is where, worked out once for each settings object. */
export type Arrangement = {
  readonly indexOf: ReadonlyMap<ProbeId, number>;
  readonly sea: ProbeSettings | undefined;
  readonly engineOf: ReadonlyMap<Engine, EngineSettings>;
  readonly exhaust: ReadonlyMap<Engine, ProbeSettings>;
  readonly learnedMaxC: ReadonlyMap<Engine, number>;
  /** For each elbow the learned elbow of another engine that is alike and has its probe mounted alike. */
  readonly twinOf: ReadonlyMap<ProbeId, ProbeSettings>;
  /** For each probe in an exhaust another one in the same exhaust: gas where there is some, or else an elbow. */
  readonly referenceProbeOf: ReadonlyMap<ProbeId, ProbeSettings>;
};

const arrangements = new WeakMap<GuardSettings, Arrangement>();

/** Remembered by the identity of the settings, which are never changed: an answer that could be worked out again. */
export function arrangementOf(settings: GuardSettings): Arrangement {
  const known = arrangements.get(settings);
  if (known) return known;
  const { probes, engines } = settings;
  const engineOf = new Map(engines.map((engine) => [engine.id, engine]));
  const onEngine = <T>(find: (engine: Engine) => T | undefined) =>
    new Map(
      engines.flatMap(({ id }) => {
        const found = find(id);
        return found === undefined ? [] : [[id, found]];
      }),
    );
  const twinOf = new Map<ProbeId, ProbeSettings>();
  for (const probe of probes) {
    const twin = probes.find(
      (p) =>
        p.place === 'wet-elbow' &&
        engineOf.get(probe.engine)?.alike.includes(p.engine) &&
        p.mounting === probe.mounting &&
        p.baseline,
    );
    if (probe.place === 'wet-elbow' && twin) twinOf.set(probe.id, twin);
  }
  const arrangement: Arrangement = {
    indexOf: new Map(probes.map((probe, index) => [probe.id, index])),
    sea: probes.find((p) => p.place === 'sea-water'),
    engineOf,
    exhaust: onEngine((engine) => {
      const gas = probes.filter((p) => p.engine === engine && isInGas(p));
      // Behind the turbocharger is nearer to what the elbow meets; before it is as good a measure of the load.
      return gas.find((p) => p.place === 'dry-exhaust') ?? gas[0];
    }),
    learnedMaxC: onEngine(
      (engine) => probes.find((p) => p.engine === engine && p.baseline)?.baseline?.gasC.max,
    ),
    twinOf,
    referenceProbeOf: referenceProbes(probes),
  };
  arrangements.set(settings, arrangement);
  return arrangement;
}

function referenceProbes(probes: readonly ProbeSettings[]): ReadonlyMap<ProbeId, ProbeSettings> {
  const referenceProbeOf = new Map<ProbeId, ProbeSettings>();
  for (const probe of probes) {
    if (probe.engine === allEngines) continue;
    const others = probes.filter((p) => p.id !== probe.id && p.engine === probe.engine);
    const reference = others.find((p) => isInGas(p)) ?? others.find((p) => p.place === 'wet-elbow');
    if (reference && (isInGas(probe) || probe.place === 'wet-elbow'))
      referenceProbeOf.set(probe.id, reference);
  }
  return referenceProbeOf;
}

/** The engine as its owner calls it, in the middle of a sentence. */
export const engineSaid = (engine: Engine, settings: GuardSettings): string => {
  const found = arrangementOf(settings).engineOf.get(engine);
  return found ? inWords(found) : engine;
};

/** The engine a probe's alerts are about; nothing for a probe that all engines share. */
export const engineOfProbe = ({ engine }: ProbeSettings): { readonly engine?: Engine } =>
  engine === allEngines ? {} : { engine };

const isInGas = ({ place }: ProbeSettings): boolean => place === 'dry-exhaust' || place === 'before-turbo';
