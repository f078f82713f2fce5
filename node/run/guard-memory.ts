import { join } from 'node:path';
import type { Logger } from 'pino';
import { type GuardState, resumeGuard, startGuard } from '../guard/guard.js';
import type { Clock } from '../time/clock.js';
import { keepTrying, type Trying } from './keep-trying.js';
import type { NoticeBoard } from './notice-board.js';
import { readStateFile, StateFile } from './state-file.js';

type Options = {
  /** Where it is; without it nothing survives a restart. */
  readonly dataDir: string | undefined;
  /** Makes sure that no other process writes there; rejects while one does. */
  readonly hold: ((dataDir: string) => Promise<void>) | undefined;
  /** Called once the folder is held. */
  readonly onHeld: () => void;
  readonly clock: Clock;
  readonly notices: NoticeBoard;
  readonly log: Logger;
};

/** What the guard remembers over a restart, in a folder that may be in use, unreadable or full: the guard continues. */
export class GuardMemory {
  private readonly options: Options;
  private file: StateFile | undefined;
  private trying: Trying | undefined;

  constructor(options: Options) {
    this.options = options;
  }

  /** The state to begin with: what was remembered, else a fresh one. */
  async open(): Promise<GuardState> {
    const { dataDir, hold, onHeld, clock, notices, log } = this.options;
    const path = dataDir === undefined ? undefined : join(dataDir, 'node-state.json');
    if (dataDir !== undefined && path !== undefined) {
      this.trying = keepTrying(
        async () => {
          await hold?.(dataDir);
          this.file = new StateFile(
            path,
            clock,
            (error) => this.cannotWrite(path, error),
            () => notices.clear('memory'),
          );
          notices.clear('data-folder');
          onHeld();
        },
        ({ message }) =>
          notices.post({
            about: 'data-folder',
            message: `${message} This node guards all the same and remembers nothing over a restart until the folder is free.`,
            actions: ['If another node runs for this boat, stop one of the two.'],
          }),
      );
      await this.trying.triedOnce;
    }
    const remembered = path === undefined ? undefined : readStateFile(path, clock);
    if (!remembered) return startGuard(clock.monotonicMs());
    const { state, forgotten } = resumeGuard(remembered.guard, clock.monotonicMs(), remembered.awayMs);
    if (forgotten) log.warn(forgotten);
    return state;
  }

  save(state: GuardState): void {
    this.file?.save(state);
  }

  async close(): Promise<void> {
    this.trying?.stop();
    await this.file?.settled();
  }

  private cannotWrite(path: string, { message }: Error): void {
    this.options.notices.post({
      about: 'memory',
      message: `Cannot write ${path}: ${message}. Alerts and acknowledgements will not survive a restart.`,
      actions: [
        'The guard continues.',
        'Make room or make the folder writable, or name another with --data-dir.',
      ],
    });
  }
}
