import { createHash, randomBytes, scrypt, timingSafeEqual } from 'node:crypto';

/** scrypt with N = 2^15, r = 8, p = 1: about 32 MB and a tenth of a second on a small computer (RFC 7914). */
const cost = { N: 32_768, r: 8, p: 1, maxmem: 64 * 1024 * 1024 };
const keyBytes = 32;

/** A pass-phrase as it is stored on disk: `scrypt$salt$key`, base64url. */
export const hashPassPhrase = async (passPhrase: string): Promise<string> => {
  const salt = randomBytes(16);
  return `scrypt$${salt.toString('base64url')}$${(await derive(passPhrase, salt)).toString('base64url')}`;
};

export const passPhraseMatches = async (passPhrase: string, hashed: string): Promise<boolean> => {
  const [kind, salt = '', key = ''] = hashed.split('$');
  const kept = Buffer.from(key, 'base64url');
  if (kind !== 'scrypt' || kept.length !== keyBytes) return false;
  return timingSafeEqual(await derive(passPhrase, Buffer.from(salt, 'base64url')), kept);
};

/** An unguessable token, 192 random bits; only its SHA-256 is kept, which is enough for randomness of that size. */
export const newToken = (): string => randomBytes(24).toString('base64url');
export const hashToken = (token: string): string => createHash('sha256').update(token).digest('base64url');

const derive = (passPhrase: string, salt: Buffer): Promise<Buffer> =>
  new Promise((done, fail) => {
    scrypt(passPhrase.normalize('NFKC'), salt, keyBytes, cost, (error, key) =>
      error ? fail(error) : done(key),
    );
  });
