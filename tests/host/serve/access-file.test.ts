import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  accessPath,
  addToken,
  readAccess,
  revokeToken,
  setPassPhrase,
} from '../../../host/serve/access/access-file.js';
import { hashToken } from '../../../host/serve/access/secrets.js';

let dir: string;
beforeEach(() => {
  dir = mkdtempSync(join(tmpdir(), 'elbowroom-access-'));
});
afterEach(() => rmSync(dir, { recursive: true }));

describe('the access file', () => {
  it('does not exist until somebody sets a pass-phrase, and then keeps no secret', async () => {
    expect(readAccess(dir)).toBeUndefined();
    await setPassPhrase(dir, 'act', 'kittiwake over the bar');
    const token = addToken(dir, 'plotter', 'watch');
    const text = readFileSync(accessPath(dir), 'utf8');
    expect(text).not.toContain('kittiwake');
    expect(text).not.toContain(token);
    expect(statSync(accessPath(dir)).mode & 0o777).toBe(0o600);
    expect(readAccess(dir)?.tokens).toEqual([{ name: 'plotter', role: 'watch', hash: hashToken(token) }]);
  });

  it('a token of the same name replaces the old one', () => {
    const old = addToken(dir, 'plotter', 'watch');
    addToken(dir, 'plotter', 'act');
    expect(readAccess(dir)?.tokens.map(({ role, hash }) => [role, hash === hashToken(old)])).toEqual([
      ['act', false],
    ]);
  });

  it('a token that is revoked is gone, and one that is not there is an error that says how to see which are', () => {
    addToken(dir, 'plotter', 'watch');
    addToken(dir, 'logger', 'watch');
    revokeToken(dir, 'plotter');
    expect(readAccess(dir)?.tokens.map(({ name }) => name)).toEqual(['logger']);
    expect(() => revokeToken(dir, 'plotter')).toThrow('--list');
  });

  it.each(['', ' plotter', 'a'.repeat(61), '=cmd'])('a token is not called "%s"', (name) => {
    expect(() => addToken(dir, name, 'watch')).toThrow('1 to 60 characters');
  });

  it('a pass-phrase of nine characters is refused', async () => {
    await expect(setPassPhrase(dir, 'act', 'too short')).rejects.toThrow(
      'needs 10 characters at least; this one has 9',
    );
  });

  it('damaged, admits no one and says what to do', () => {
    writeFileSync(accessPath(dir), '{"passPhrases":');
    expect(() => readAccess(dir)).toThrow('Remove it and set the pass-phrases again');
  });
});
