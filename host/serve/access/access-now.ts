import { fileMark } from '../../files/file-mark.js';
import { type Access, accessPath, readAccess } from './access-file.js';

/**
 * While the file cannot be understood, or is gone behind a page on the network: no one may sign in or act, because guessing
 * would grant it. On this computer the page shows everything without signing in; see `gate`.
 */
export const closed: Access = { passPhrases: {}, tokens: [] };

/**
 * Who may sign in at this moment. The file is looked at each time it is asked, so that what `elbowroom access` sets or
 * removes holds at once. Throws `AccessError` on a damaged file at the start, unless `lockedWhenDamaged`; one that is damaged
 * later is `closed`.
 */
export const accessNow = (dataDir: string, lockedWhenDamaged = false): (() => Access | undefined) => {
  let seen = lockedWhenDamaged ? '' : fileMark(accessPath(dataDir));
  let access = lockedWhenDamaged ? closed : readAccess(dataDir);
  return () => {
    const mark = fileMark(accessPath(dataDir));
    if (mark === seen) return access;
    seen = mark;
    try {
      access = readAccess(dataDir);
    } catch {
      access = closed;
    }
    return access;
  };
};
