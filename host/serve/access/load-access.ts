import { readFileSync } from 'node:fs';
import { type Access, AccessError } from './access-file.js';
import { accessNow } from './access-now.js';

type Asked = {
  readonly dataDir: string;
  /** Starts with a damaged file, too, and lets no one act until it is right. */
  readonly lockedWhenDamaged?: boolean;
  readonly tls?: { readonly certPath: string; readonly keyPath: string };
};

/** Who may sign in and by which certificate, read from their files. Throws `AccessError`. */
export const loadAccess = ({
  dataDir,
  lockedWhenDamaged,
  tls,
}: Asked): {
  readonly access: () => Access | undefined;
  readonly tls?: { readonly cert: string; readonly key: string };
} => {
  return {
    access: accessNow(dataDir, lockedWhenDamaged),
    ...(tls && { tls: { cert: readPem(tls.certPath, 'certificate'), key: readPem(tls.keyPath, 'key') } }),
  };
};

const readPem = (path: string, what: string): string => {
  try {
    return readFileSync(path, 'utf8');
  } catch (cause) {
    throw new AccessError(`Cannot read the ${what} ${path}: ${(cause as Error).message}.`);
  }
};
