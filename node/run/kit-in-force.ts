import { type StatsListener, unwatchFile, watchFile } from 'node:fs';
import type { Logger } from 'pino';
import type { Kit } from '../kit/schema.js';
import { type LoadedKit, loadWholeKit, needsRestart } from '../pass/loaded-kit.js';
import { readKitCopy, writeKitCopy } from './kit-copies.js';
import { type ForGuard, loadForGuard } from './load-for-guard.js';
import type { NoticeBoard } from './notice-board.js';

export type Reloaded = { readonly ok: boolean; readonly detail: string };

/** A kit file that is saved takes effect by itself; checked at this interval, which works on every file system. */
const lookAtKitEveryMs = 2_000;
/** What could not be used at the start is checked again at this interval. */
const tryAgainEveryMs = 5_000;

/**
 * The kit that the node guards by, from its file or from the last good copy, and the file's later versions. A file that
 * cannot be used, or that moves a wire, changes nothing and is a notice. The constructor throws `NodeError` when there
 * is neither a kit nor a copy.
 */
export class KitInForce {
  loaded: LoadedKit;
  private readonly path: string;
  private readonly dataDir: string | undefined;
  private readonly notices: NoticeBoard;
  private readonly log: Logger;
  private inForce: ForGuard['inForce'];
  private changed: (loaded: LoadedKit) => void = () => {};
  private again: NodeJS.Timeout | undefined;
  private folderHeld = false;
  private worthACopy: boolean;
  private copying: Promise<void> = Promise.resolve();

  constructor(options: {
    readonly path: string;
    readonly dataDir: string | undefined;
    readonly instead: Kit | undefined;
    readonly notices: NoticeBoard;
    readonly log: Logger;
  }) {
    const { path, dataDir, instead, notices, log } = options;
    this.path = path;
    this.dataDir = instead ? undefined : dataDir;
    this.notices = notices;
    this.log = log;
    const copy = dataDir === undefined ? undefined : readKitCopy(dataDir);
    const { loaded, inForce, notices: posted } = loadForGuard(path, copy, instead);
    this.loaded = loaded;
    this.inForce = inForce;
    for (const notice of posted) notices.post(notice);
    this.worthACopy = posted.length === 0;
  }

  /** Call once no other process writes in the data folder: from then on the last good kit is kept there. */
  keepCopies(): void {
    this.folderHeld = true;
    this.keepCopy();
  }

  /** From now on a file that is saved takes effect, and `changed` is called. */
  follow(changed: (loaded: LoadedKit) => void): void {
    this.changed = changed;
    watchFile(this.path, { interval: lookAtKitEveryMs, persistent: false }, this.whenSaved);
    this.again = setInterval(() => {
      if (this.isMissingSomething()) this.reload({ quietly: true });
    }, tryAgainEveryMs);
  }

  async stop(): Promise<void> {
    clearInterval(this.again);
    unwatchFile(this.path, this.whenSaved);
    await this.copying;
  }

  reload({ quietly = false } = {}): Reloaded {
    let next: ForGuard;
    try {
      loadWholeKit(this.path);
      next = loadForGuard(this.path, undefined);
      if (next.notices[0]) throw new Error(next.notices[0].message);
    } catch (error) {
      return this.refused((error as Error).message, quietly);
    }
    const fixed = needsRestart(this.loaded.kit, next.loaded.kit);
    if (fixed.length > 0)
      return this.refused(`${this.path}: ${fixed.join(', ')} cannot change while the node runs.`, quietly);
    this.loaded = next.loaded;
    this.inForce = next.inForce;
    for (const about of ['kit', 'baseline', 'certificate']) this.notices.clear(about);
    this.changed(next.loaded);
    this.worthACopy = true;
    this.keepCopy();
    const detail = `${this.path} was read again and is in force.`;
    this.log.info(detail);
    return { ok: true, detail };
  }

  /** Something that the kit names could not be used, and may have been corrected without the kit being saved. */
  private isMissingSomething(): boolean {
    return this.notices.all().some(({ about }) => /^(kit|baseline|certificate)/.test(about));
  }

  private refused(why: string, quietly: boolean): Reloaded {
    const detail = `${why}\nThe settings that were in force stay in force; restart the node to read all of it.`;
    if (!quietly)
      this.notices.post({
        about: 'kit',
        message: `The kit file was not taken over. ${why}`,
        actions: [
          'The guard continues with the settings before.',
          'Put the file right and save it; for another wire, pin or port restart the node.',
        ],
      });
    return { ok: false, detail };
  }

  private keepCopy(): void {
    const { dataDir, inForce } = this;
    if (dataDir === undefined || !this.folderHeld || !this.worthACopy) return;
    this.copying = this.copying
      .then(() => writeKitCopy(dataDir, inForce))
      .catch((error: Error) =>
        this.log.warn(`The kit could not be copied into ${dataDir}: ${error.message}`),
      );
  }

  private readonly whenSaved: StatsListener = (now, before) => {
    if (now.mtimeMs === before.mtimeMs) return;
    if (now.mtimeMs !== 0) this.reload();
    else
      this.notices.post({
        about: 'kit',
        message: `The kit file ${this.path} is gone; what was in it stays in force.`,
        actions: ['The guard continues.', 'Put the file back; a copy is in the data folder of the node.'],
      });
  };
}
