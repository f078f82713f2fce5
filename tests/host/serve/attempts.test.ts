import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { Attempts } from '../../../host/serve/access/attempts.js';

let dir: string;
beforeEach(() => {
  dir = mkdtempSync(join(tmpdir(), 'elbowroom-access-'));
});
afterEach(() => rmSync(dir, { recursive: true }));

describe('attempts', () => {
  it('after five wrong answers an address waits until the first is a minute old', () => {
    const attempts = new Attempts();
    for (let i = 0; i < 5; i++) expect(attempts.begin('a', i * 1000)).toBe(0);
    expect(attempts.begin('a', 5_000)).toBe(55);
    expect(attempts.begin('b', 5_000)).toBe(0);
    expect(attempts.begin('a', 60_001)).toBe(0);
  });

  it('thirty wrong answers from thirty addresses make everybody wait', () => {
    const attempts = new Attempts();
    for (let i = 0; i < 30; i++) attempts.begin(`10.0.0.${i}`, 0);
    expect(attempts.begin('10.0.1.1', 1_000)).toBe(59);
  });

  it('this computer signs in while others use up the limit of all, and has no part in it', () => {
    const attempts = new Attempts();
    for (let i = 0; i < 30; i++) attempts.begin(`10.0.0.${i}`, 0);
    for (let i = 0; i < 5; i++) expect(attempts.begin('127.0.0.1', 1_000 + i)).toBe(0);
    expect(attempts.begin('127.0.0.1', 2_000), 'its own five').toBe(59);
    expect(attempts.begin('10.0.1.1', 60_500), 'none of the five here count').toBe(0);
  });

  it('all addresses of this computer share its five', () => {
    const attempts = new Attempts();
    const here = ['127.0.0.1', '::1', '::ffff:127.0.0.1', '127.0.0.2', '127.255.3.4'];
    for (const address of here) expect(attempts.begin(address, 0)).toBe(0);
    for (const address of [...here, '127.9.9.9']) expect(attempts.begin(address, 1_000)).toBe(59);
    attempts.right('::1', 0);
    expect(attempts.begin('127.9.9.9', 1_000)).toBe(0);
  });

  it('right answers do not count: a hundred in a row are all listened to', () => {
    const attempts = new Attempts();
    for (let i = 0; i < 100; i++) {
      expect(attempts.begin('a', i)).toBe(0);
      attempts.right('a', i);
    }
  });
});
