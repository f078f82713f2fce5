import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { accessPath, addToken, readAccess, setPassPhrase } from '../../../host/serve/access/access-file.js';
import { Attempts } from '../../../host/serve/access/attempts.js';
import { isLoopbackName } from '../../../host/serve/access/same-origin.js';
import { hashPassPhrase, hashToken, passPhraseMatches } from '../../../host/serve/access/secrets.js';
import { Sessions } from '../../../host/serve/access/sessions.js';

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

  it('a pass-phrase of nine characters is refused', async () => {
    await expect(setPassPhrase(dir, 'act', 'too short')).rejects.toThrow(
      'needs 10 characters at least; this one has 9',
    );
  });

  it('damaged, lets nobody in and says what to do', () => {
    writeFileSync(accessPath(dir), '{"passPhrases":');
    expect(() => readAccess(dir)).toThrow('Remove it and set the pass-phrases again');
  });
});

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

describe('attempts', () => {
  it('after five wrong answers an address waits until the first is a minute old', () => {
    const attempts = new Attempts();
    for (let i = 0; i < 4; i++) attempts.wrong('a', i * 1000);
    expect(attempts.waitS('a', 4_000)).toBe(0);
    attempts.wrong('a', 4_000);
    expect(attempts.waitS('a', 5_000)).toBe(55);
    expect(attempts.waitS('b', 5_000)).toBe(0);
    expect(attempts.waitS('a', 60_001)).toBe(0);
  });

  it('thirty wrong answers from thirty addresses make everybody wait', () => {
    const attempts = new Attempts();
    for (let i = 0; i < 30; i++) attempts.wrong(`10.0.0.${i}`, 0);
    expect(attempts.waitS('10.0.1.1', 1_000)).toBe(59);
  });
});

describe('sessions', () => {
  it('last thirty days, end when asked, and a made-up one is nobody', () => {
    const sessions = new Sessions();
    const token = sessions.begin('watch', 0);
    expect(sessions.roleOf(token, 29 * 86_400_000)).toBe('watch');
    expect(sessions.roleOf(token, 30 * 86_400_000)).toBeUndefined();
    sessions.end(token);
    expect(sessions.roleOf(token, 0)).toBeUndefined();
    expect(sessions.roleOf('made-up', 0)).toBeUndefined();
  });

  it('of two hundred and one the oldest goes', () => {
    const sessions = new Sessions();
    const first = sessions.begin('act', 0);
    const second = sessions.begin('act', 0);
    for (let i = 0; i < 199; i++) sessions.begin('watch', 0);
    expect([sessions.roleOf(first, 1), sessions.roleOf(second, 1)]).toEqual([undefined, 'act']);
  });
});

it.each([
  ['localhost:8470', true],
  ['127.0.0.1', true],
  ['127.9.9.9:1', true],
  ['[::1]:8470', true],
  ['weather.example', false],
  ['localhost.weather.example', false],
  ['127.0.0.1.nip.example:8470', false],
  [undefined, false],
] as const)('the name %s is loopback: %s', (name, is) => {
  expect(isLoopbackName(name)).toBe(is);
});
