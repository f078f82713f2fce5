import { statSync } from 'node:fs';
import { type Access, accessPath, readAccess } from './access-file.js';

/** No one may act while the file cannot be understood, because guessing would grant it; at this computer one may look. */
export const closed: Access = { passPhrases: {}, tokens: [] };

/**
 * Who may sign in at this moment. The file is looked at each time it is asked, so that what `elbowroom access` sets or
 * removes holds at once. Throws `AccessError` on a damaged file at the start, unless `lockedWhenDamaged`; one that is damaged
 * later admits no one.
 */
export const accessNow = (dataDir: string, lockedWhenDamaged = false): (() => Access | undefined) => {
  let seen = lockedWhenDamaged ? '' : markOf(dataDir);
  let access = lockedWhenDamaged ? closed : readAccess(dataDir);
  return () => {
    const mark = markOf(dataDir);
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

/** Changes whenever the file is written, replaced or removed. */
const markOf = (dataDir: string): string => {
  try {
    const { mtimeMs, ino, size } = statSync(accessPath(dataDir));
    return `${mtimeMs} ${ino} ${size}`;
  } catch {
    return 'absent';
  }
};
