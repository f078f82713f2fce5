import type { Clock, WiringLook } from '../../node/index.js';

/** After a start the chips need setting up and a few seconds of readings separate noise from change. */
const onceAfterMs = 4_000;
const onceGivesUpAfterMs = 20_000;
const lookEveryMs = 200;

/** Printed before the board is opened, so that the wait is explained from its first second. */
export const lookingWords = `Looking for up to ${onceGivesUpAfterMs / 1000} s.`;

/** Waits until the board has been there for some seconds, or has had its chance. `say` is called with each new state of the board. */
export const settledLook = async (
  look: () => WiringLook,
  say: (words: string) => void,
  { monotonicMs }: Pick<Clock, 'monotonicMs'>,
  pause = (ms: number) => new Promise<void>((done) => setTimeout(done, ms)),
): Promise<WiringLook> => {
  let said = '';
  const startedAt = monotonicMs();
  let connectedAt: number | undefined;
  for (;;) {
    const now = monotonicMs();
    const seen = look();
    if (seen.board.detail !== said) say(`The board: ${seen.board.detail}`);
    said = seen.board.detail;
    if (seen.board.state === 'connected') connectedAt ??= now;
    const allRead = seen.probes.every(({ quality }) => quality !== 'nothing-yet' && quality !== 'board-away');
    if (connectedAt !== undefined && allRead && now - connectedAt > onceAfterMs) return seen;
    if (now - startedAt > onceGivesUpAfterMs) return seen;
    await pause(lookEveryMs);
  }
};
