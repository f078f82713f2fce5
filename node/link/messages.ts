import { z } from 'zod';
import { priorities } from '../alerts/alert.js';
import { engineOrAll } from '../kit/engines.js';
import { quantities } from '../reading/quantity.js';
import { missingReasons } from '../reading/reading.js';
import { engineCardSchema, firstEngineCards } from './engine-cards.js';

/** Messages are read only: the types of all schemas of this file, without the right to change them. */
type Read<T> = T extends object ? { readonly [K in keyof T]: Read<T[K]> } : T;

const count = z.number().int().min(0);
/** Absent where there is none; never `undefined` and never null. */
const maybe = <Schema extends z.ZodType>(schema: Schema) => z.exactOptional(schema);
const number = z.number();
const text = z.string();

/** A reading as it travels: wall time, units in the names, absent where there is none. */
const readingRow = z.object({
  probe: text,
  at: number,
  temperatureC: maybe(number),
  uncertaintyC: maybe(number),
  pressureKpa: maybe(number),
  uncertaintyKpa: maybe(number),
  speedRpm: maybe(number),
  uncertaintyRpm: maybe(number),
  raw: maybe(number),
  rawUnit: maybe(z.enum(['ohm', 'microvolt', 'volt'])),
  coldJunctionC: maybe(number),
  quality: z.enum(['good', ...missingReasons]),
  certificate: maybe(text),
});
export type ReadingRow = Read<z.infer<typeof readingRow>>;

/** An `Alert` as it travels and as the page's interface gives it: times are wall milliseconds. */
const alertRow = z.object({
  id: text,
  rule: text,
  priority: z.enum(priorities),
  escalated: maybe(z.boolean()),
  state: z.enum(['unacknowledged', 'acknowledged', 'rectified']),
  probe: maybe(text),
  engine: maybe(text),
  engineName: maybe(text),
  since: number,
  remindEveryS: maybe(number),
  acknowledgedAt: maybe(number),
  silencedUntil: maybe(number),
  shelvedUntil: maybe(number),
  rectifiedAt: maybe(number),
  message: text,
  evidence: z.object({
    values: z.record(text, number),
    thresholds: z.record(text, number),
    roomC: maybe(number),
    roomS: maybe(number),
  }),
  instruction: maybe(text),
  actions: z.array(text),
});
export type AlertRow = Read<z.infer<typeof alertRow>>;

const limit = z.object({ raiseAtC: number, clearAtC: number, holdS: number });

/** What a node reports about one of its probes, so that a host needs no kit file. */
const probeCard = z.object({
  id: text,
  name: text,
  /** The id of an engine, or `all` for what they share. */
  engine: text.transform(engineOrAll),
  place: text,
  mounting: text,
  /** What its readings are of; absent from an older node, which knows temperatures only. */
  quantity: maybe(z.enum(quantities)),
  limits: z.object({ alarm: maybe(limit), warning: maybe(limit) }),
});
export type ProbeCard = Read<z.infer<typeof probeCard>>;

const counters = z.object({
  /** Frames that fell out of the ring before a host took them. */
  framesLost: count,
  /** Bytes and messages from the board that the gate refused. */
  boardRefused: count,
  boardReconnects: count,
  passes: count,
  /** How many readings of each probe were good, doubtful or missing since the node's start; absent from an older node. */
  readings: maybe(z.record(text, z.object({ good: count, doubtful: count, missing: count }))),
});
export type NodeCounters = Read<z.infer<typeof counters>>;

/** Numbered, kept in the ring until acknowledged. */
const nodeMessage = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('hello'),
    boat: text,
    invented: z.boolean(),
    engines: z.array(engineCardSchema).default(() => [...firstEngineCards]),
    probes: z.array(probeCard),
  }),
  z.object({ kind: z.literal('readings'), rate: z.enum(['second', 'episode']), rows: z.array(readingRow) }),
  /** Every active alert and every one still in view, sent whenever any of them changes. */
  z.object({ kind: z.literal('alerts'), at: number, alerts: z.array(alertRow) }),
  z.object({
    kind: z.literal('status'),
    at: number,
    board: z.enum(['connected', 'connecting', 'lost']),
    boardDetail: text,
    running: z.record(text, z.boolean()),
    counters,
  }),
]);
export type NodeMessage = Read<z.infer<typeof nodeMessage>>;

const numberedMessage = z.object({
  node: text,
  /** New at every start of the node; sequence numbers count from 1 within it. */
  boot: text,
  seq: count,
  /**
   * The sum of the steps of the node's wall clock since its boot, in milliseconds; absent while there was none. Times
   * in the message minus this run on without a jump from those before the step.
   */
  clockSteppedMs: maybe(number),
  message: nodeMessage,
});
export type NumberedMessage = Read<z.infer<typeof numberedMessage>>;

/** Increased when the two ends would no longer be compatible. */
export const linkProtocol = 2;

/** The node's answer to a host's `arrive`: what the ring holds, so that a host knows what is gone. */
const greeting = z.object({
  type: z.literal('greeting'),
  protocol: count,
  node: text,
  boot: text,
  oldestSeq: count,
  nextSeq: count,
  /** Of the host that is answered; absent where a serial wire is greeted and no host has arrived. */
  nonce: maybe(text),
  /** Part of the seal of everything that the host sends in this conversation. */
  challenge: maybe(text),
  /** Shows that the node has the link secret; absent when it has none. */
  proof: maybe(text),
});
export type Greeting = Read<z.infer<typeof greeting>>;

const fromNode = z.discriminatedUnion('type', [
  numberedMessage.extend({ type: z.literal('message') }),
  greeting,
  z.object({ type: z.literal('answer'), requestId: text, ok: z.boolean(), detail: text }),
]);
/** What travels from node to host, one frame each. */
export type FromNode = Read<z.infer<typeof fromNode>>;

const requestId = text.max(100);
const innerTypes = [
  /** Everything up to and including `seq` is safely stored. */
  z.object({ type: z.literal('stored'), boot: text, seq: count }),
  /** Send again from `fromSeq`: a frame was damaged or missed. */
  z.object({ type: z.literal('again'), boot: text, fromSeq: count }),
  z.object({
    type: z.literal('command'),
    requestId,
    command: z.object({
      do: z.enum(['acknowledge', 'silence', 'shelve', 'unshelve']),
      alertId: text.max(200),
      forS: maybe(number.min(0).max(86_400)),
    }),
  }),
  /** Sound the alarm and flash the lamp for a few seconds, to test them; refused while an alert sounds. */
  z.object({ type: z.literal('test-sound'), requestId, forS: number.min(0.2).max(10) }),
] as const;

const inner = z.discriminatedUnion('type', innerTypes);
/** What a host sends once it was greeted. Unsealed, the first two move only its own place and the others are refused. */
export type Inner = Read<z.infer<typeof inner>>;

const toNode = z.discriminatedUnion('type', [
  /** First on every connection; until then the node sends nothing, and anything else ends the connection. */
  z.object({ type: z.literal('arrive'), protocol: count, nonce: text.min(16).max(100) }),
  /** `body` is the JSON of an `Inner`; `seal` shows that the sender has the link secret; `count` never repeats. */
  z.object({ type: z.literal('sealed'), count, body: text.max(2_000), seal: text.max(100) }),
  ...innerTypes,
]);
/** What travels from host to node. */
export type ToNode = Read<z.infer<typeof toNode>>;

/** A frame's value as a message, or nothing when it is not one: an older or newer partner, or not ours at all. */
export const parseFromNode = (value: unknown): FromNode | undefined => fromNode.safeParse(value).data;
export const parseToNode = (value: unknown): ToNode | undefined => toNode.safeParse(value).data;

/** What a seal holds. */
export const parseInner = (body: string): Inner | undefined => {
  try {
    return inner.safeParse(JSON.parse(body)).data;
  } catch {
    return undefined;
  }
};
