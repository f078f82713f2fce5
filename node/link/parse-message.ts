import { z } from 'zod';
import { priorities } from '../alerts/alert.js';
import { engineKinds, engineOrAll } from '../kit/engines.js';
import { quantities } from '../reading/quantity.js';
import { missingReasons } from '../reading/reading.js';
import { firstEngineCards } from './engine-cards.js';
import type { FromNode, Inner, ToNode } from './messages.js';

const count = z.number().int().min(0);
const maybe = <Schema extends z.ZodType>(schema: Schema) => z.exactOptional(schema);
const number = z.number();
const text = z.string();

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

const limit = z.object({ raiseAtC: number, clearAtC: number, holdS: number });
const engineCard = z.object({
  id: text,
  name: text,
  shortName: text,
  kind: z.enum(engineKinds),
  alike: z.array(text),
});
const probeCard = z.object({
  id: text,
  name: text,
  engine: text.transform(engineOrAll),
  place: text,
  mounting: text,
  quantity: maybe(z.enum(quantities)),
  limits: z.object({ alarm: maybe(limit), warning: maybe(limit) }),
});

const nodeMessage = z.discriminatedUnion('kind', [
  z.object({
    kind: z.literal('hello'),
    boat: text,
    invented: z.boolean(),
    engines: z
      .array(engineCard)
      .default(() => structuredClone(firstEngineCards) as z.infer<typeof engineCard>[]),
    probes: z.array(probeCard),
  }),
  z.object({ kind: z.literal('readings'), rate: z.enum(['second', 'episode']), rows: z.array(readingRow) }),
  z.object({ kind: z.literal('alerts'), at: number, alerts: z.array(alertRow) }),
  z.object({
    kind: z.literal('status'),
    at: number,
    board: z.enum(['connected', 'connecting', 'lost']),
    boardDetail: text,
    running: z.record(text, z.boolean()),
    counters: z.object({
      framesLost: count,
      boardRefused: count,
      boardReconnects: count,
      passes: count,
      readings: maybe(z.record(text, z.object({ good: count, doubtful: count, missing: count }))),
    }),
  }),
]);

const fromNode = z.discriminatedUnion('type', [
  z.object({
    type: z.literal('message'),
    node: text,
    boot: text,
    seq: count,
    clockSteppedMs: maybe(number),
    message: nodeMessage,
  }),
  z.object({
    type: z.literal('greeting'),
    protocol: count,
    node: text,
    boot: text,
    oldestSeq: count,
    nextSeq: count,
    nonce: maybe(text),
    challenge: maybe(text),
    proof: maybe(text),
  }),
  z.object({ type: z.literal('answer'), requestId: text, ok: z.boolean(), detail: text }),
]) satisfies z.ZodType<FromNode>;

const inner = [
  z.object({ type: z.literal('stored'), boot: text, seq: count }),
  z.object({ type: z.literal('again'), boot: text, fromSeq: count }),
  z.object({
    type: z.literal('command'),
    requestId: text.max(100),
    command: z.object({
      do: z.enum(['acknowledge', 'silence', 'shelve', 'unshelve']),
      alertId: text.max(200),
      forS: maybe(number.min(0).max(86_400)),
    }),
  }),
  z.object({ type: z.literal('test-sound'), requestId: text.max(100), forS: number.min(0.2).max(10) }),
] as const;

const toInner = z.discriminatedUnion('type', inner) satisfies z.ZodType<Inner>;

const toNode = z.discriminatedUnion('type', [
  z.object({ type: z.literal('arrive'), protocol: count, nonce: text.min(16).max(100) }),
  z.object({ type: z.literal('sealed'), count, body: text.max(2_000), seal: text.max(100) }),
  ...inner,
]) satisfies z.ZodType<ToNode>;

/** A frame's value as a message, or nothing when it is not one: an older or newer partner, or not ours at all. */
export const parseFromNode = (value: unknown): FromNode | undefined => fromNode.safeParse(value).data;
export const parseToNode = (value: unknown): ToNode | undefined => toNode.safeParse(value).data;

/** What a seal holds. */
export const parseInner = (body: string): Inner | undefined => {
  try {
    return toInner.safeParse(JSON.parse(body)).data;
  } catch {
    return undefined;
  }
};
