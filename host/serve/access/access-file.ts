import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { sync as writeFileAtomic } from 'write-file-atomic';
import { z } from 'zod';
import { RoomError } from '../../../node/index.js';
import { hashPassPhrase, hashToken, newToken } from './secrets.js';

/** `watch` sees everything; `act` may also acknowledge, silence, write and change. */
export const roles = ['watch', 'act'] as const;
export type Role = (typeof roles)[number];

const schema = z.strictObject({
  /** By role, as scrypt hashes. */
  passPhrases: z.partialRecord(z.enum(roles), z.string()).default({}),
  /** For programs: SHA-256 of the token, and what it may do. */
  tokens: z.array(z.strictObject({ name: z.string(), role: z.enum(roles), hash: z.string() })).default([]),
});

export type Access = z.infer<typeof schema>;

export const accessPath = (dataDir: string): string => join(dataDir, 'access.json');
const shortestPassPhrase = 10;
const tokenName = /^[\p{L}\d][\p{L}\d ._-]{0,59}$/u;

/** Who may sign in, by hashes; absent when no pass-phrase is set. Throws when the file cannot be understood, because guessing would grant access. */
export const readAccess = (dataDir: string): Access | undefined => {
  let text: string;
  try {
    text = readFileSync(accessPath(dataDir), 'utf8');
  } catch (error) {
    const { code } = error as NodeJS.ErrnoException;
    if (code === 'ENOENT' || code === 'ENOTDIR') return undefined;
    throw new AccessError(`Cannot read ${accessPath(dataDir)}: ${String(error)}.`);
  }
  try {
    return schema.parse(JSON.parse(text));
  } catch {
    throw new AccessError(
      `${accessPath(dataDir)} is not what elbowroom access writes. Remove it and set the pass-phrases again; no one can sign in until then.`,
    );
  }
};

export const setPassPhrase = async (dataDir: string, role: Role, passPhrase: string): Promise<void> => {
  if (passPhrase.length < shortestPassPhrase)
    throw new AccessError(
      `A pass-phrase needs ${shortestPassPhrase} characters at least; this one has ${passPhrase.length}.`,
    );
  const access = readAccess(dataDir) ?? schema.parse({});
  write(dataDir, {
    ...access,
    passPhrases: { ...access.passPhrases, [role]: await hashPassPhrase(passPhrase) },
  });
};

/** Makes a token and forgets it: the answer is the only time it is seen. A token of the same name is replaced. */
export const addToken = (dataDir: string, name: string, role: Role): string => {
  if (!tokenName.test(name))
    throw new AccessError(
      'The name of a token has 1 to 60 characters: letters, digits, space, dot, - and _.',
    );
  const access = readAccess(dataDir) ?? schema.parse({});
  const token = newToken();
  const others = access.tokens.filter((kept) => kept.name !== name);
  write(dataDir, { ...access, tokens: [...others, { name, role, hash: hashToken(token) }] });
  return token;
};

/** Revokes a token, from its next request on. Throws `AccessError` when there is none of that name. */
export const revokeToken = (dataDir: string, name: string): void => {
  const access = readAccess(dataDir) ?? schema.parse({});
  const tokens = access.tokens.filter((kept) => kept.name !== name);
  if (tokens.length === access.tokens.length)
    throw new AccessError(`There is no token ${name}. elbowroom access --list shows those there are.`);
  write(dataDir, { ...access, tokens });
};

/** Whether a pass-phrase exists that lets people acknowledge, silence and change; one to watch does not. */
export const someoneMayAct = ({ passPhrases, tokens }: Access): boolean =>
  passPhrases.act !== undefined || tokens.some(({ role }) => role === 'act');

/** Whole or not at all, and readable by its owner only. */
const write = (dataDir: string, access: Access): void => {
  writeFileAtomic(accessPath(dataDir), `${JSON.stringify(access, null, 2)}\n`, { mode: 0o600 });
};

/** The access file must be repaired or set; the message says how. */
export class AccessError extends RoomError {
  readonly code = 'access-settings';
  readonly errorCategory = 'usage';
}
