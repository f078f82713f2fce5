import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { expect, it } from 'vitest';
import { houseRoot } from './house-root.js';

/** Words that mean a clock, a timer, chance or the process; the import rules (.dependency-cruiser.cjs) see modules only. */
const impure = /\b(Date\.now|new Date\(\)|performance\.now|setTimeout|setInterval|Math\.random|process\.)/;
const withoutComments = (text: string): string => text.replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '');

it.each(['calibration', 'node/guard', 'node/alerts'])(
  '%s uses no clock, timer, chance or process',
  (room) => {
    const files = readdirSync(join(houseRoot, room), { recursive: true, encoding: 'utf8' }).filter((name) =>
      name.endsWith('.ts'),
    );
    expect(files.length).toBeGreaterThan(3);
    expect(
      files.filter((name) => impure.test(withoutComments(readFileSync(join(houseRoot, room, name), 'utf8')))),
    ).toEqual([]);
  },
);
