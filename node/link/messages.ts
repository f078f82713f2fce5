import type { Alert, AlertCommand } from '../alerts/alert.js';
import type { EngineKind } from '../kit/engines.js';
import type { Quantity, RowValues } from '../reading/quantity.js';
import type { Quality, RawUnit } from '../reading/reading.js';
import type { ReadingCounts } from '../reading/reading-tally.js';

/** A reading as it travels: wall time, units in the names, absent where there is none. */
export type ReadingRow = RowValues & {
  readonly probe: string;
  readonly at: number;
  readonly raw?: number;
  readonly rawUnit?: RawUnit;
  readonly coldJunctionC?: number;
  readonly quality: Quality;
  readonly certificate?: string;
};

/** An alert as it travels and as the page's interface gives it: times are wall milliseconds. */
export type AlertRow = Omit<
  Alert,
  'sinceMs' | 'acknowledgedAtMs' | 'silencedUntilMs' | 'shelvedUntilMs' | 'rectifiedAtMs'
> & {
  readonly since: number;
  readonly acknowledgedAt?: number;
  readonly silencedUntil?: number;
  readonly shelvedUntil?: number;
  readonly rectifiedAt?: number;
};

/** What a node says of its probes, so that a host needs no kit file. */
export type ProbeCard = {
  readonly id: string;
  readonly name: string;
  /** The id of an engine, or `all` for what they share. */
  readonly engine: string;
  readonly place: string;
  readonly mounting: string;
  /** What its readings are of; absent from an older node, which knows temperatures only. */
  readonly quantity?: Quantity;
  readonly limits: {
    readonly alarm?: { readonly raiseAtC: number; readonly clearAtC: number; readonly holdS: number };
    readonly warning?: { readonly raiseAtC: number; readonly clearAtC: number; readonly holdS: number };
  };
};

/** What a node says of an engine. */
export type EngineCard = {
  readonly id: string;
  readonly name: string;
  readonly shortName: string;
  readonly kind: EngineKind;
  /** The engines it is compared with. */
  readonly alike: readonly string[];
};

export type NodeCounters = {
  /** Frames that fell out of the ring before a listener took them. */
  readonly framesLost: number;
  /** Bytes and messages from the board that the gate refused. */
  readonly boardRefused: number;
  readonly boardReconnects: number;
  readonly passes: number;
  /** What became of the readings of each probe since the node's start; absent from an older node. */
  readonly readings?: Readonly<Record<string, ReadingCounts>>;
};

/** Numbered, kept in the ring until acknowledged. */
export type NodeMessage =
  | {
      readonly kind: 'hello';
      readonly boat: string;
      readonly invented: boolean;
      readonly engines: readonly EngineCard[];
      readonly probes: readonly ProbeCard[];
    }
  | { readonly kind: 'readings'; readonly rate: 'second' | 'episode'; readonly rows: readonly ReadingRow[] }
  /** Every alert that stands, sent whenever any of them changes. */
  | { readonly kind: 'alerts'; readonly at: number; readonly alerts: readonly AlertRow[] }
  | {
      readonly kind: 'status';
      readonly at: number;
      readonly board: 'connected' | 'connecting' | 'lost';
      readonly boardDetail: string;
      readonly running: Readonly<Record<string, boolean>>;
      readonly counters: NodeCounters;
    };

export type NumberedMessage = {
  readonly node: string;
  /** New at every start of the node; sequence numbers count from 1 within it. */
  readonly boot: string;
  readonly seq: number;
  /**
   * The sum of the steps of the node's wall clock since its boot, in milliseconds; absent while there was none. Times
   * in the message minus this run on without a jump from those before the step.
   */
  readonly clockSteppedMs?: number;
  readonly message: NodeMessage;
};

/** Counts up when the two ends could no longer understand each other. */
export const linkProtocol = 2;

/** The node's answer to a host's `arrive`: what the ring holds, so that a host knows what is gone. */
export type Greeting = {
  readonly type: 'greeting';
  readonly protocol: number;
  readonly node: string;
  readonly boot: string;
  readonly oldestSeq: number;
  readonly nextSeq: number;
  /** Of the host that is answered; absent where a serial wire is greeted and no host has arrived. */
  readonly nonce?: string;
  /** Sealed into everything that the host says in this conversation. */
  readonly challenge?: string;
  /** Shows that the node has the link secret; absent when it has none. */
  readonly proof?: string;
};

/** What travels from node to host, one frame each. */
export type FromNode =
  | ({ readonly type: 'message' } & NumberedMessage)
  | Greeting
  | { readonly type: 'answer'; readonly requestId: string; readonly ok: boolean; readonly detail: string };

/**
 * What a host says once it was greeted. Unsealed, the first two move only its own place and the others are refused.
 */
export type Inner =
  /** Everything up to and including `seq` is safely stored. */
  | { readonly type: 'stored'; readonly boot: string; readonly seq: number }
  /** Send again from `fromSeq`: a frame was damaged or missed. */
  | { readonly type: 'again'; readonly boot: string; readonly fromSeq: number }
  | { readonly type: 'command'; readonly requestId: string; readonly command: AlertCommand }
  /** Sound the alarm and flash the lamp for a few seconds, to hear that they work; refused while an alert sounds. */
  | { readonly type: 'test-sound'; readonly requestId: string; readonly forS: number };

/** What travels from host to node. */
export type ToNode =
  /** First on every connection; until then the node says nothing, and anything else ends the connection. */
  | { readonly type: 'arrive'; readonly protocol: number; readonly nonce: string }
  /** `body` is the JSON of an `Inner`; `seal` shows that the sender has the link secret; `count` never repeats. */
  | { readonly type: 'sealed'; readonly count: number; readonly body: string; readonly seal: string }
  | Inner;
