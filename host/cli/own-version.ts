import { readFileSync } from 'node:fs';

/** What `package.json` says, seen from the source and from the bundled program alike, and from the compiled file. */
export const ownVersion = (): string => {
  for (const path of ['../../package.json', '../../../package.json'])
    try {
      const read = JSON.parse(readFileSync(new URL(path, import.meta.url), 'utf8')) as Record<string, string>;
      if (read.name === 'elbowroom' && read.version !== undefined) return read.version;
    } catch {
      // The next place.
    }
  return 'unknown';
};
