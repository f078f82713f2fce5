import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { houseRoot } from './house-root.js';

/** A call of a hook that runs when the module is loaded, not when a test file calls a function of it. */
const hookAtLoad = /^(before|after)(Each|All)\(/m;

it('what several test files share registers its hooks in a function: a worker loads it once, for the first of them only', () => {
  const tests = join(houseRoot, 'tests');
  const shared = readdirSync(tests, { recursive: true, encoding: 'utf8' }).filter(
    (name) => name.endsWith('.ts') && !name.endsWith('.test.ts'),
  );
  expect(shared.length).toBeGreaterThan(50);
  expect(shared.filter((name) => hookAtLoad.test(readFileSync(join(tests, name), 'utf8')))).toEqual([]);
});
