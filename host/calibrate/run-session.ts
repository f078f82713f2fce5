import {
  type Bath,
  type BathFinding,
  compareBaths,
  progressOf,
  type Session,
  stepSession,
} from '../../calibration/index.js';
import { keepSession } from './session-file.js';
import { type BathWatch, watchBath } from './watch-bath.js';

export type SessionWork = BathWatch & {
  readonly folder: string;
  readonly announce: (bath: Bath, number: number, of: number) => void;
  readonly taken: (
    bath: Bath,
    settled: readonly string[],
    refused: readonly string[],
    findings: readonly BathFinding[],
  ) => void;
};

/**
 * Walks a session through baths, one after the other, and keeps what was taken after each, so that the next run or the page
 * can continue where this one was stopped. Gives the session, or undefined when it was stopped before the end.
 */
export async function runSession(
  from: Session,
  baths: readonly Bath[],
  work: SessionWork,
): Promise<Session | undefined> {
  const { folder, stop } = work;
  let session = from;
  await keepSession(folder, session);
  for (const [i, bath] of baths.entries()) {
    work.announce(bath, i + 1, baths.length);
    const watched = await watchBath(stepSession(session, { kind: 'begin', bath }), work);
    if (stop.aborted) return undefined;
    const progress = progressOf(watched);
    const takenAt = new Date(work.clock.wallMs()).toISOString();
    session = stepSession(watched, { kind: 'take', takenAt });
    await keepSession(folder, session);
    work.taken(
      bath,
      progress.filter((p) => p.settled).map((p) => p.probe),
      progress.filter((p) => !p.settled).map((p) => p.probe),
      compareBaths(session),
    );
  }
  return session;
}
