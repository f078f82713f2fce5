import { readFileSync } from 'node:fs';
import { mkdir } from 'node:fs/promises';
import { dirname } from 'node:path';
import writeFileAtomic from 'write-file-atomic';
import type { GuardState } from '../guard/guard.js';
import type { Clock } from '../time/clock.js';

type Remembered = { readonly layout: 1; readonly writtenAt: number; readonly guard: unknown };

/** What an earlier run left behind, and how long ago by wall time; undefined when there is nothing to read. */
export const readStateFile = (path: string, clock: Clock): { guard: unknown; awayMs: number } | undefined => {
  try {
    const remembered = JSON.parse(readFileSync(path, 'utf8')) as Partial<Remembered>;
    if (remembered.layout !== 1 || typeof remembered.writtenAt !== 'number')
      return { guard: undefined, awayMs: 0 };
    return { guard: remembered.guard, awayMs: Math.max(0, clock.wallMs() - remembered.writtenAt) };
  } catch (error) {
    if ((error as NodeJS.ErrnoException).code === 'ENOENT') return undefined;
    return { guard: undefined, awayMs: 0 };
  }
};

/**
 * Keeps the guard's state on disk so that alerts survive a restart. One write at a time, the newest wins, each whole
 * or not at all; a disk that fails is told once and never waited for.
 */
export class StateFile {
  private next: GuardState | undefined;
  private writing: Promise<void> | undefined;
  private failed = false;
  private readonly path: string;
  private readonly clock: Clock;
  private readonly onTrouble: (error: Error) => void;
  private readonly onWell: () => void;

  /** `onTrouble` hears the first of several failures, `onWell` that they are over. */
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
      const remembered: Remembered = { layout: 1, writtenAt: this.clock.wallMs(), guard };
      try {
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
