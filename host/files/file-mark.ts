import { statSync } from 'node:fs';

/** Changes whenever the file is written, replaced or removed; `absent` while there is none. */
export const fileMark = (path: string): string => {
  try {
    const { mtimeMs, ino, size } = statSync(path);
    return `${mtimeMs} ${ino} ${size}`;
  } catch {
    return 'absent';
  }
};
