import type {
  AlertCommand,
  AlertRow,
  EngineCard,
  NodeMessage,
  ProbeCard,
  ReadingRow,
} from '../../node/index.js';

/** What the host knows of one node at this moment; times are wall milliseconds. */
export type NodeNow = {
  readonly node: string;
  readonly connected: boolean;
  readonly lastHeardAt?: number;
  readonly boat?: string;
  readonly invented: boolean;
  readonly engines: readonly EngineCard[];
  readonly probes: readonly ProbeCard[];
  /** The last reading of each probe. */
  readonly latest: readonly ReadingRow[];
  /** Age of each probe's last reading in ms, by the node's own order of time and our steady clock; absent for one from before this host connected. */
  readonly ageMs: Readonly<Record<string, number>>;
  readonly alerts: readonly AlertRow[];
  readonly status?: Extract<NodeMessage, { kind: 'status' }>;
  /** Missing sequence numbers, in frames, since the host first reached this node. */
  readonly sequenceGaps: number;
};

/** How a message came. */
export type Delivery = {
  /** New at every start of the node. */
  readonly boot: string;
  /** Sum of the steps of the node's wall clock since its boot; times in the message less this run on without a jump. */
  readonly clockSteppedMs: number;
  /** From before this host connected: the node sends what its ring kept. */
  readonly kept: boolean;
};

/** What the page needs from the connection to the nodes; `host/live/live.ts` provides it. */
export interface LiveSource {
  nodes(): readonly NodeNow[];
  /** Every message as it arrives, stored or not. Returns a function that stops the calls. */
  on(listener: (node: string, message: NodeMessage, delivery: Delivery) => void): () => void;
  /** A node connected, disconnected, or came back. */
  onChange(listener: () => void): () => void;
  /** Sounds the buzzer and flashes the lamp for some seconds; refused while an alert sounds. */
  testSound(node: string, forS: number): Promise<{ readonly ok: boolean; readonly detail: string }>;
  command(node: string, command: AlertCommand): Promise<{ readonly ok: boolean; readonly detail: string }>;
}
