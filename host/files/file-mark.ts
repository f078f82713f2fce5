import { statSync } from 'node:fs';

/** Changes whenever the file is written, replaced, removed or made readable; `absent` while there is none. */
export const fileMark = (path: string): string => {
  try {
    const { mtimeMs, ctimeMs, ino, size } = statSync(path);
    return `${mtimeMs} ${ctimeMs} ${ino} ${size}`;
  } catch {
    return 'absent';
  }
};
