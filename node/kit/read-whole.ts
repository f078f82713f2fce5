import { closeSync, constants, fstatSync, openSync, readFileSync } from 'node:fs';

/** Longer than any kit, certificate, baseline or state of a guard; a device or a whole log in its place has no end. */
const longestBytes = 16 * 1024 * 1024;

/**
 * The text of a file that the guard needs. What is no ordinary file is refused and not waited for: the read of a named
 * pipe would hold the guard up for ever. Throws the system's error, or one that says what is there instead.
 */
export const readWhole = (path: string): string => {
  const file = openSync(path, constants.O_RDONLY | (constants.O_NONBLOCK ?? 0));
  try {
    const now = fstatSync(file);
    if (!now.isFile()) throw new Error(`${path} is no ordinary file`);
    if (now.size > longestBytes)
      throw new Error(`${path} has ${now.size} bytes: too long for what it should be`);
    return readFileSync(file, 'utf8');
  } finally {
    closeSync(file);
  }
};
