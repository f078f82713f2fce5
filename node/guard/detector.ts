import type { BuzzerVerdict } from '../alerts/buzzer-verdict.js';
import type { Condition } from '../alerts/condition.js';
import type { MonotonicMs } from '../time/clock.js';
import type { BoardWatch } from './board-watch.js';
import type { Dividers } from './dividers.js';
import type { ElbowPairs } from './elbow-pair.js';
import type { EngineStates } from './engine.js';
import type { GuardState } from './guard-state.js';
import type { Notice } from './notice.js';
import type { ProbeStates } from './probe-state.js';
import type { GuardSettings } from './settings.js';
import type { Sight } from './sight-state.js';

/** Everything that one pass of the guard has worked out, for the detectors to judge. */
export type Scene = {
  readonly settings: GuardSettings;
  readonly nowMs: MonotonicMs;
  readonly dtS: number;
  /** Since when channels are expected to send. */
  readonly awakeSinceMs: MonotonicMs;
  /** The board is away: no probe is read. */
  readonly away: boolean;
  /** The state that this pass began with. */
  readonly before: GuardState;
  readonly probes: ProbeStates;
  readonly engines: EngineStates;
  readonly board: BoardWatch;
  readonly dividers: Dividers;
  /** Which probes show their engine's cooling. */
  readonly sight: Sight;
  /** Whether two probes on one elbow agree. */
  readonly pairs: ElbowPairs;
  /** What its current says of the buzzer, where that is read back. */
  readonly buzzer?: BuzzerVerdict | undefined;
  /** What is not as the owner set it up. */
  readonly notices: readonly Notice[];
};

/** Looks at one pass and returns every condition of its kind that is active; pure, and without a memory of its own. */
export type Detector = (scene: Scene) => readonly Condition[];
