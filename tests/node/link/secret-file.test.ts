import { existsSync, mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { secretFile } from '../../../node/link/secret-file.js';

describe('the file of the link secret', () => {
  let folder: string;
  let path: string;
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'elbowroom-secret-'));
    path = join(folder, 'link-secret');
  });
  afterEach(() => rmSync(folder, { recursive: true }));
  const ask = () => {
    const troubles: string[] = [];
    return { secret: secretFile(path, { onTrouble: (why) => troubles.push(why) }), troubles };
  };

  it('is made by the first that asks, for its owner only, and read by the second', () => {
    const made = ask().secret();
    expect(made).toMatch(/^[A-Za-z0-9_-]{43}$/);
    expect(statSync(path).mode & 0o777).toBe(0o600);
    expect(ask().secret()).toBe(made);
  });

  it.each([
    ['nothing', ''],
    ['a part of it', 'abcDEF_-01'],
    ['zeros', '\0'.repeat(44)],
  ])('is made again where a power cut left %s', (_what, left) => {
    writeFileSync(path, left);
    const { secret, troubles } = ask();
    expect(readFileSync(path, 'utf8')).toBe(left);
    expect(secret()).toMatch(/^[A-Za-z0-9_-]{43}$/);
    expect(readFileSync(path, 'utf8').trim()).toBe(secret());
    expect(troubles).toEqual([]);
  });

  it('is read again by the next call but one when it was changed, and made again from memory when it was deleted', async () => {
    const { secret } = ask();
    const first = secret();
    rmSync(path);
    await expect
      .poll(
        () => {
          secret();
          return existsSync(path);
        },
        { timeout: 20_000 },
      )
      .toBe(true);
    expect(readFileSync(path, 'utf8').trim()).toBe(first);
    const other = 'b'.repeat(43);
    writeFileSync(path, `${other}\n`);
    await expect.poll(secret, { timeout: 20_000 }).toBe(other);
  });

  it('costs a hundred arrivals in a second one look at the file', () => {
    const { secret } = ask();
    const first = secret();
    // A file that cannot be read, as on a disk that hangs, is not touched by the calls themselves.
    rmSync(path);
    for (let i = 0; i < 100; i++) expect(secret()).toBe(first);
    expect(existsSync(path)).toBe(false);
  });

  it('is left as it is, with a word why, where it holds something else', () => {
    const kit = 'kit: 1\nboat: { name: Invented }\n';
    writeFileSync(path, kit);
    const { secret, troubles } = ask();
    expect([secret(), secret()]).toEqual([undefined, undefined]);
    expect(readFileSync(path, 'utf8')).toBe(kit);
    expect(troubles).toHaveLength(1);
    expect(troubles[0]).toContain('holds something else');
  });
});
