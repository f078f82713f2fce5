import type { Priority } from '../../../node/alerts/alert.js';
import type { TwinId } from '../../../node/bench/plant/twins.js';
import type { Mounting, PlantName } from './campaign-plant.js';
import type { FaultKind } from './fault.js';
import type { Load } from './voyage.js';

/**
 * What watches: a plain switch at 93 C, this guard before commissioning, and this guard as commissioned; where pressure
 * probes are fitted, also the commissioned guard with them beside its temperatures.
 */
const temperatureWatchers = ['switch', 'limits', 'learned'] as const;
export const watcherNames = [...temperatureWatchers, 'pressure'] as const;
export type WatcherName = (typeof watcherNames)[number];
export const watchersAboard = (pressure: boolean): readonly WatcherName[] =>
  pressure ? watcherNames : temperatureWatchers;

/** An alert about the cooling of an engine that lacked none: while it ran, while it was stopped, or just after a hot restart. */
export type FalseAlert = {
  readonly when: 'running' | 'stopped' | 'restart';
  readonly priority: Priority;
  readonly rule: string;
  /** What was wrong elsewhere on the boat. */
  readonly beside: FaultKind | 'none';
  readonly moment: Moment;
};

/** What a false alert came from: for finding its cause, not for counting. */
export type Moment = {
  readonly voyage: number;
  readonly atS: number;
  readonly engine: TwinId;
  /** Since the engine last started or stopped, s. */
  readonly sinceS: number;
  readonly throttle: number;
  /** As read: elbow, exhaust gas and sea, C. */
  readonly readC: Readonly<Record<string, number>>;
  /** What the rule compared, and with what. */
  readonly values: Readonly<Record<string, number>>;
  readonly thresholds: Readonly<Record<string, number>>;
  /** Hidden truth: hose wall, C, and raw water that flows, of what flows with nothing in its way. */
  readonly hoseC: number;
  readonly flowPart: number;
};

/** How one watcher did on one boat. Times in s after the fault; null where it said nothing. */
export type WatcherRecord = {
  readonly falseAlerts: FalseAlert[];
  readonly losses: {
    readonly load: Load;
    readonly afterS: number | null;
    readonly hoseUnwarned: boolean | null;
  }[];
  readonly impellers: (number | null)[];
  /** Part of the flow that was left when a clogging strainer was reported. */
  readonly strainers: (number | null)[];
  /** Warnings about an elbow whose own probe was broken. */
  brokenProbe: number;
};

/** Everything that is counted on one boat. Plain JSON, so that boats can sail in several processes. */
export type BoatRecord = {
  readonly plant: PlantName;
  readonly boat: number;
  readonly mounting: Mounting;
  readonly elbows: readonly { readonly armed: boolean; readonly because: readonly string[] }[];
  voyages: number;
  runningHours: number;
  stops: number;
  restarts: number;
  falseStuck: number;
  falseFallen: number;
  /** Warnings that an engine runs unseen, where its elbow probe is neither broken nor fallen. */
  falseUnseen: number;
  /** After the load grew, s; null where the commissioned guard did not say so. */
  readonly overloads: (number | null)[];
  /** Cautions of an overload on an engine that had none. */
  falseOverload: number;
  readonly watchers: OfWatchers<WatcherRecord>;
};

/** One of each watcher aboard; that with pressure only where its probes are fitted. */
export type OfWatchers<T> = Readonly<Record<(typeof temperatureWatchers)[number], T>> & {
  readonly pressure?: T;
};

const newWatcher = (): WatcherRecord => ({
  falseAlerts: [],
  losses: [],
  impellers: [],
  strainers: [],
  brokenProbe: 0,
});

export const newRecord = (
  about: Pick<BoatRecord, 'plant' | 'boat' | 'mounting' | 'elbows'>,
  pressure: boolean,
): BoatRecord => ({
  ...about,
  voyages: 0,
  runningHours: 0,
  stops: 0,
  restarts: 0,
  falseStuck: 0,
  falseFallen: 0,
  falseUnseen: 0,
  overloads: [],
  falseOverload: 0,
  watchers: {
    switch: newWatcher(),
    limits: newWatcher(),
    learned: newWatcher(),
    ...(pressure && { pressure: newWatcher() }),
  },
});
