import { createHash } from 'node:crypto';
import { mkdir } from 'node:fs/promises';
import { dirname } from 'node:path';
import writeFileAtomic from 'write-file-atomic';
import type { GuardState } from '../guard/guard.js';
import { readWhole } from '../kit/read-whole.js';
import type { Clock } from '../time/clock.js';

/** The state as text with its SHA-256; a state with one wrong digit could disable a limit for ever. */
type Remembered = {
  readonly layout: 2;
  readonly writtenAt: number;
  readonly sha256: string;
  readonly guard: string;
};
/** What the first versions wrote: the state itself, unprotected. */
type RememberedFirst = { readonly layout: 1; readonly writtenAt: number; readonly guard: unknown };

const sumOf = (writtenAt: number, guard: string): string =>
  createHash('sha256').update(`${writtenAt}\n${guard}`).digest('hex');

const damaged = { guard: undefined, awayMs: 0 };

/** What an earlier run left behind, and how long ago by wall time; undefined when there is nothing to read. */
export const readStateFile = (path: string, clock: Clock): { guard: unknown; awayMs: number } | undefined => {
  try {
    const remembered = JSON.parse(readWhole(path)) as Remembered | RememberedFirst;
    const { layout, writtenAt, guard } = remembered;
    if (typeof writtenAt !== 'number') return damaged;
    const awayMs = Math.max(0, clock.wallMs() - writtenAt);
    if (layout === 1) return { guard, awayMs };
    if (layout !== 2 || remembered.sha256 !== sumOf(writtenAt, guard)) return damaged;
    return { guard: JSON.parse(guard), awayMs };
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'ENOENT' ? undefined : damaged;
  }
};

/**
 * Keeps the guard's state on disk so that alerts survive a restart. One write at a time, the newest wins, each whole
 * or not at all; a disk that fails is reported once and never waited for.
 */
export class StateFile {
  private next: GuardState | undefined;
  private writing: Promise<void> | undefined;
  private failed = false;
  private readonly path: string;
  private readonly clock: Clock;
  private readonly onTrouble: (error: Error) => void;
  private readonly onWell: () => void;

  /** `onTrouble` gets the first of several failures, `onWell` that they are over. */
  constructor(path: string, clock: Clock, onTrouble: (error: Error) => void, onWell = () => {}) {
    this.path = path;
    this.clock = clock;
    this.onTrouble = onTrouble;
    this.onWell = onWell;
  }

  save(state: GuardState): void {
    this.next = state;
    this.writing ??= this.writeAll().finally(() => {
      this.writing = undefined;
    });
  }

  /** Resolves when everything saved so far is on disk, or has failed. */
  async settled(): Promise<void> {
    await this.writing;
  }

  private async writeAll(): Promise<void> {
    while (this.next) {
      const guard = this.next;
      this.next = undefined;
      try {
        const writtenAt = this.clock.wallMs();
        const text = JSON.stringify(guard);
        const remembered: Remembered = {
          layout: 2,
          writtenAt,
          sha256: sumOf(writtenAt, text),
          guard: text,
        };
        await mkdir(dirname(this.path), { recursive: true });
        await writeFileAtomic(this.path, JSON.stringify(remembered));
        if (this.failed) this.onWell();
        this.failed = false;
      } catch (error) {
        if (!this.failed) this.onTrouble(error as Error);
        this.failed = true;
      }
    }
  }
}
