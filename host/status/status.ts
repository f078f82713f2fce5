import type { AlertRow, Quality } from '../../node/index.js';
import type { CalibrationDue } from '../engine-health/calibration-due.js';
import type { OutputStatus } from '../live/output-status.js';

/** One probe as the node last reported it. */
export type ProbeStatus = {
  readonly id: string;
  readonly name: string;
  /** Value with its unit, as a person reads it; absent where there is none. */
  readonly text?: string;
  readonly quality: Quality | 'no-reading';
};

export type ActiveAlert = Pick<AlertRow, 'priority' | 'state' | 'message' | 'since' | 'acknowledgedAt'>;

/** What a node said in the first seconds of listening to it. */
export type NodeStatus = {
  readonly address: string;
  readonly boat?: string;
  readonly invented: boolean;
  readonly board?: 'connected' | 'connecting' | 'lost';
  readonly boardDetail?: string;
  /** Complete passes since the node's start. */
  readonly passes?: number;
  /** Whether a second's readings came while we listened: the guard's loop turns. */
  readonly passing: boolean;
  readonly probes: readonly ProbeStatus[];
  readonly alerts: readonly ActiveAlert[];
};

export type DueStatus = Pick<CalibrationDue, 'probe' | 'name' | 'dueAt' | 'why'>;

/** Everything on the screen of `elbowroom status`; absent means that it could not be asked. */
export type Status = {
  readonly at: number;
  readonly kit: { readonly path: string; readonly trouble?: string; readonly commissioned: boolean };
  readonly node?: NodeStatus;
  /** Process and start of the node that holds the data folder; absent while none runs here. */
  readonly nodeHolder?: string;
  readonly host: {
    /** Process and start of the host that holds the data folder; absent while none runs. */
    readonly holder?: string;
    readonly page: 'answers' | 'asks-for-login' | 'away';
    readonly alerts: readonly ActiveAlert[];
    /** Nodes that the host has no contact to now. */
    readonly silent?: readonly string[];
  };
  readonly disk?: { readonly freeBytes: number; readonly storeBytes?: number };
  /** Of the last reading stored, wall milliseconds. */
  readonly lastStoredAt?: number;
  /** From the running host with its counts, or only the names in host.yaml. */
  readonly outputs: readonly (Pick<OutputStatus, 'name'> & Partial<OutputStatus>)[];
  readonly outputsTrouble?: string;
  readonly calibration: readonly DueStatus[];
};
