import type { NodeMessage, NumberedMessage } from '../../../node/index.js';
import type { File } from './open-file.js';

/**
 * A step of a node's wall clock. Its readings before bear times of the old clock and those after of the new one, so that
 * they may overlap or leave a gap that is not one. Times on from `afterAt`, less the sum of steps, run on without a jump.
 */
export type ClockStep = {
  readonly node: string;
  readonly boot: string;
  /** What the old clock would have shown at the first message after the step, and what the new one showed. */
  readonly beforeAt: number;
  readonly afterAt: number;
  /** Positive when the clock was put ahead. */
  readonly stepMs: number;
};

/** When the clocks of the nodes were set. */
export class ClockLog {
  private readonly file: File;
  /** The sum of steps noted for a node's boot. */
  private readonly stepped = new Map<string, number>();

  constructor(file: File) {
    this.file = file;
  }

  reload(): void {
    this.stepped.clear();
  }

  /** Compares a message's sum of steps with what is known. Call for every message, in order, inside a transaction. */
  take({ node, boot, clockSteppedMs = 0, message }: NumberedMessage): void {
    const at = timeOf(message);
    if (at === undefined) return;
    const key = `${node} ${boot}`;
    const known = this.stepped.get(key) ?? this.sumOf(node, boot);
    this.stepped.set(key, clockSteppedMs);
    const stepMs = Math.round(clockSteppedMs - known);
    if (stepMs === 0) return;
    this.file
      .prepare('INSERT INTO clockStep(node, boot, beforeAt, afterAt, stepMs) VALUES (?, ?, ?, ?, ?)')
      .run(node, boot, at - stepMs, at, stepMs);
  }

  /** Steps that a span holds by either clock, in the order they came. */
  between(from: number, to: number): readonly ClockStep[] {
    return this.file
      .prepare(
        `SELECT node, boot, beforeAt, afterAt, stepMs FROM clockStep
         WHERE min(beforeAt, afterAt) < ? AND max(beforeAt, afterAt) >= ? ORDER BY id`,
      )
      .all(to, from) as ClockStep[];
  }

  private sumOf(node: string, boot: string): number {
    return this.file
      .prepare('SELECT coalesce(sum(stepMs), 0) FROM clockStep WHERE node = ? AND boot = ?')
      .pluck()
      .get(node, boot) as number;
  }
}

const timeOf = (message: NodeMessage): number | undefined => {
  if (message.kind === 'hello') return undefined;
  const at = message.kind === 'readings' ? message.rows[0]?.at : message.at;
  return at === undefined ? undefined : Math.round(at);
};
