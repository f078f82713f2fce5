import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { Sessions } from '../../../host/serve/access/sessions.js';

let dir: string;
beforeEach(() => {
  dir = mkdtempSync(join(tmpdir(), 'elbowroom-access-'));
});
afterEach(() => rmSync(dir, { recursive: true }));

describe('sessions', () => {
  const phrases = { watch: 'one hash', act: 'another' };

  it('last thirty days, and a made-up one has no rights', () => {
    const sessions = new Sessions();
    const token = sessions.begin('watch', phrases.watch, 0);
    expect(sessions.roleOf(token, phrases, 29 * 86_400_000)).toBe('watch');
    expect(sessions.roleOf(token, phrases, 30 * 86_400_000)).toBeUndefined();
    expect(sessions.roleOf('made-up', phrases, 0)).toBeUndefined();
  });

  it('end with the pass-phrase that opened them, and only those', () => {
    const sessions = new Sessions();
    const [watches, acts] = [
      sessions.begin('watch', phrases.watch, 0),
      sessions.begin('act', phrases.act, 0),
    ];
    const changed = { ...phrases, act: 'a new one' };
    expect([sessions.roleOf(watches, changed, 1), sessions.roleOf(acts, changed, 1)]).toEqual([
      'watch',
      undefined,
    ]);
  });

  it('of two hundred and one the oldest goes', () => {
    const sessions = new Sessions();
    const first = sessions.begin('act', phrases.act, 0);
    const second = sessions.begin('act', phrases.act, 0);
    for (let i = 0; i < 199; i++) sessions.begin('watch', phrases.watch, 0);
    expect([sessions.roleOf(first, phrases, 1), sessions.roleOf(second, phrases, 1)]).toEqual([
      undefined,
      'act',
    ]);
  });
});
