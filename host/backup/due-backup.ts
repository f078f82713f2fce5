import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { sync as writeFileAtomic } from 'write-file-atomic';
import type { Clock } from '../../node/index.js';
import { hostFolderIn } from '../settings/data-folders.js';

/** What the running inputs of all connected nodes say: `none` where none is wired, `unknown` while no node is connected. */
export type Engines = 'running' | 'stopped' | 'none' | 'unknown';

const minuteMs = 60_000;
/** All engines stopped for this long: in a lock or at a fuel berth they are started again sooner. */
export const stoppedForMs = 15 * minuteMs;
/** After the start of a host that finds a backup due. */
export const owedAtStartMs = 2 * minuteMs;
export const tryAgainMs = 5 * minuteMs;
/** After one during which the computer or the host went down, in case it is the backup that brings it down. */
export const afterBreakMs = 60 * minuteMs;
/** Without running inputs no voyage is seen: a backup a day. */
export const withoutInputsMs = 24 * 60 * minuteMs;

type Kept = {
  readonly owed: boolean;
  /** Wall milliseconds of the last one that succeeded. */
  readonly madeAt?: number;
  /** While one is written: still there after a power cut. */
  readonly begun?: boolean;
};

/**
 * Whether a backup is due, kept on the disk, so that one survives a computer that is switched off soon after the engines.
 * A disk that refuses the file is reported elsewhere; until the next start it is kept in memory.
 */
export class DueBackup {
  private readonly path: string;
  private readonly clock: Clock;
  private kept: Kept;
  private ranAtMs: number | undefined;
  private notBeforeMs: number;
  /** Due when this host started: made soon, whatever runs now, or it would never be made where one switch starts all. */
  private fromBefore: boolean;

  constructor(dataDir: string, clock: Clock) {
    this.path = join(hostFolderIn(dataDir), 'backup-owed.json');
    this.clock = clock;
    this.kept = recall(this.path);
    this.notBeforeMs = clock.monotonicMs() + (this.kept.begun ? afterBreakMs : owedAtStartMs);
    this.fromBefore = this.kept.owed;
  }

  /** Whether one must be made now. */
  look(engines: Engines): boolean {
    const nowMs = this.clock.monotonicMs();
    if (engines === 'running') {
      this.ranAtMs = nowMs;
      this.keep({ ...this.kept, owed: true });
    }
    const sinceMs = this.clock.wallMs() - (this.kept.madeAt ?? 0);
    // A clock that was set back counts as a day gone by.
    if (engines === 'none' && (sinceMs > withoutInputsMs || sinceMs < 0))
      this.keep({ ...this.kept, owed: true });
    if (!this.kept.owed || nowMs < this.notBeforeMs) return false;
    return this.fromBefore || this.ranAtMs === undefined || nowMs - this.ranAtMs >= stoppedForMs;
  }

  /** Makes one. Of a voyage that continues meanwhile the next one is due; one that fails or throws is tried again after a while. */
  async make(backUp: () => Promise<boolean>): Promise<void> {
    const beganMs = this.clock.monotonicMs();
    this.keep({ ...this.kept, begun: true });
    const isMade = await backUp().catch(() => false);
    const nowMs = this.clock.monotonicMs();
    const { madeAt } = this.kept;
    if (isMade) {
      this.fromBefore = false;
      this.keep({ owed: (this.ranAtMs ?? beganMs) > beganMs, madeAt: this.clock.wallMs() });
    } else {
      // A long attempt wears the stick: the next waits longer.
      this.notBeforeMs = nowMs + Math.max(tryAgainMs, 5 * (nowMs - beganMs));
      this.keep({ owed: true, ...(madeAt !== undefined && { madeAt }) });
    }
  }

  private keep(next: Kept): void {
    const text = JSON.stringify(next);
    if (text === JSON.stringify(this.kept)) return;
    this.kept = next;
    try {
      writeFileAtomic(this.path, text);
    } catch {
      // In memory until the next start.
    }
  }
}

const recall = (path: string): Kept => {
  try {
    const { owed, madeAt, begun } = JSON.parse(readFileSync(path, 'utf8')) as Record<string, unknown>;
    return {
      owed: owed === true,
      ...(typeof madeAt === 'number' && { madeAt }),
      ...(begun === true && { begun }),
    };
  } catch {
    return { owed: false };
  }
};
