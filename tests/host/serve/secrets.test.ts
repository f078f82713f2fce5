import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { hashPassPhrase, passPhraseMatches } from '../../../host/serve/access/secrets.js';

let dir: string;
beforeEach(() => {
  dir = mkdtempSync(join(tmpdir(), 'elbowroom-access-'));
});
afterEach(() => rmSync(dir, { recursive: true }));

describe('secrets', () => {
  it('the same phrase twice has two hashes, and both know it', async () => {
    const [one, two] = [
      await hashPassPhrase('mind the gap please'),
      await hashPassPhrase('mind the gap please'),
    ];
    expect(one).not.toBe(two);
    expect(await passPhraseMatches('mind the gap please', two)).toBe(true);
    expect(await passPhraseMatches('mind the gap pleasE', one)).toBe(false);
  });

  it('an accent typed as one character or two is the same phrase (NFKC)', async () => {
    expect(
      await passPhraseMatches(
        're\u0301gate et mare\u0301e',
        await hashPassPhrase('r\u00e9gate et mar\u00e9e'),
      ),
    ).toBe(true);
  });

  it('a hash of another kind opens nothing', async () => {
    for (const hashed of ['', 'plain$$secret', 'scrypt$c2FsdA$'])
      expect(await passPhraseMatches('secret', hashed)).toBe(false);
  });
});
