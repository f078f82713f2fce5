import {
  type Bath,
  type CalibratedInput,
  progressOf,
  type SettlingRules,
  startSession,
  stepSession,
} from '../../calibration/index.js';
import { keepSession, type SavedSession, unfinishedSession } from './session-file.js';
import { type BathWatch, watchBath } from './watch-bath.js';

export type SessionWork = Omit<BathWatch, 'show'> & {
  readonly folder: string;
  readonly inputs: Readonly<Record<string, CalibratedInput>>;
  readonly baths: readonly Bath[];
  readonly rules: SettlingRules;
  readonly fresh: boolean;
  readonly announce: (bath: Bath, number: number, of: number) => void;
  readonly show: BathWatch['show'];
  readonly taken: (bath: Bath, settled: readonly string[], refused: readonly string[]) => void;
  readonly resumed: (done: number, of: number) => void;
};

/**
 * Walks through the baths, one after the other, and keeps what was taken after each, so that the next run goes on where
 * this one was stopped. Gives the finished session, or undefined when it was stopped before the end.
 */
export async function runSession(work: SessionWork): Promise<SavedSession | undefined> {
  const { folder, stop } = work;
  const left = work.fresh ? undefined : await unfinishedSession(folder);
  let saved: SavedSession = left ?? {
    saved: 1,
    baths: work.baths,
    done: 0,
    session: startSession(work.inputs, work.rules),
  };
  if (left) work.resumed(left.done, left.baths.length);
  else await keepSession(folder, saved);

  for (let done = saved.done; done < saved.baths.length; done++) {
    const bath = saved.baths[done] as Bath;
    work.announce(bath, done + 1, saved.baths.length);
    const begun = stepSession(saved.session, { kind: 'begin', bath });
    const watched = await watchBath(begun, work);
    if (stop.aborted) return undefined;
    const progress = progressOf(watched);
    const takenAt = new Date(work.clock.wallMs()).toISOString();
    saved = { ...saved, done: done + 1, session: stepSession(watched, { kind: 'take', takenAt }) };
    await keepSession(folder, saved);
    work.taken(
      bath,
      progress.filter((p) => p.settled).map((p) => p.probe),
      progress.filter((p) => !p.settled).map((p) => p.probe),
    );
  }
  return saved;
}
