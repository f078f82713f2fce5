import { closeSync, openSync, readFileSync, writeSync } from 'node:fs';
import { NodeError } from '../errors/node-error.js';
import { parseKit } from '../kit/load-kit.js';
import type { Kit } from '../kit/schema.js';
import type { Sensed } from '../sense/senses.js';
import { asMonotonicMs } from '../time/clock.js';

/**
 * A session at the board as lines of JSON: first the kit as text and when it began, then everything that was sensed,
 * pass by pass, before any conversion. So a fault aboard can be studied ashore and kept as a test.
 */
type Head = { readonly recording: 1; readonly startedAt: number; readonly kit: string };

export class RecordingWriter {
  private readonly file: number;
  /** Throws `NodeError` when the file cannot be made; never overwrites one. */
  constructor(path: string, head: Omit<Head, 'recording'>) {
    try {
      this.file = openSync(path, 'wx');
    } catch (cause) {
      const exists = (cause as NodeJS.ErrnoException).code === 'EEXIST';
      throw new NodeError(
        'recording-wrong',
        exists
          ? `${path} exists already. A recording never overwrites a file: choose another name.`
          : `Cannot record to ${path}: ${(cause as Error).message}.`,
        { cause },
      );
    }
    this.line({ recording: 1, ...head } satisfies Head);
  }

  add(sensed: Sensed): void {
    this.line(sensed);
  }

  close(): void {
    closeSync(this.file);
  }

  private line(value: unknown): void {
    writeSync(this.file, `${JSON.stringify(value)}\n`);
  }
}

export type Recording = {
  readonly kitText: string;
  readonly kit: Kit;
  readonly startedAt: number;
  readonly passes: readonly Sensed[];
};

/** Reads a recording whole. Throws `NodeError` with the line for anything that is not one; a last line cut short is left out. */
export const readRecording = (path: string): Recording => {
  let lines: string[];
  try {
    lines = readFileSync(path, 'utf8').split('\n');
  } catch (cause) {
    throw new NodeError(
      'recording-wrong',
      `Cannot read the recording ${path}: ${(cause as Error).message}.`,
      { cause },
    );
  }
  const whole = lines.slice(0, -1);
  const [first = '', ...rest] = whole;
  const head = parsed(first, path, 1) as Partial<Head>;
  if (head?.recording !== 1 || typeof head.kit !== 'string' || typeof head.startedAt !== 'number')
    throw new NodeError(
      'recording-wrong',
      `${path} is not a recording of elbowroom wiring --record: its first line does not say so.`,
    );
  return {
    kitText: head.kit,
    kit: parseKit(head.kit, `the kit in ${path}`),
    startedAt: head.startedAt,
    passes: rest.map((line, i) => passOf(parsed(line, path, i + 2), path, i + 2)),
  };
};

const parsed = (line: string, path: string, number: number): unknown => {
  try {
    return JSON.parse(line);
  } catch (cause) {
    throw new NodeError(
      'recording-wrong',
      `${path}, line ${number}: this is not JSON. The file is damaged.`,
      { cause },
    );
  }
};

const passOf = (value: unknown, path: string, number: number): Sensed => {
  const pass = value as Partial<Sensed> | null;
  if (typeof pass?.atMs !== 'number' || !Array.isArray(pass.sampled))
    throw new NodeError('recording-wrong', `${path}, line ${number}: this is not a pass of a recording.`);
  return { ...renamed(pass as Sensed), atMs: asMonotonicMs(pass.atMs) };
};

/** Recordings of version 0.1 call the reference pin a canary. */
const renamed = ({
  canary,
  ...pass
}: Sensed & { readonly canary?: 'astray' | 'well' | 'silent' | 'none' }): Sensed =>
  canary === undefined
    ? pass
    : {
        ...pass,
        referencePin: canary === 'astray' ? 'off' : canary,
        sampled: pass.sampled.map((one) => ('canaryAstray' in one ? { ...one, referencePinOff: true } : one)),
      };
