import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { houseRoot } from './house-root.js';

const text = readFileSync(join(houseRoot, 'DEVELOPERS.md'), 'utf8');

const roomsOf = (top: string): string[] =>
  readdirSync(join(houseRoot, top), { withFileTypes: true })
    .filter((entry) => entry.isDirectory())
    .map(({ name }) => name);

/** The rooms that the table under `| \`top/\` | |` names, several a row where they are one idea. */
const listed = (top: string): string[] => {
  const table = text.split(`| \`${top}/\` | |\n`)[1]?.split('\n\n')[0] ?? '';
  return table
    .split('\n')
    .slice(1)
    .flatMap((row) => [...(row.split('|')[1] ?? '').matchAll(/`([^`]+)`/g)].map(([, name = '']) => name));
};

/** The rooms that the picture of a top folder draws. */
const drawn = (top: string): string[] => {
  const picture = text.split(`<!-- rooms of ${top}: npm run rooms -->`)[1]?.split('<!-- end')[0] ?? '';
  return [...picture.matchAll(/^ {2}([\w-]+) --> ([\w-]+)$/gm)].flatMap(([, from = '', to = '']) => [
    from,
    to,
  ]);
};

describe.each(['calibration', 'node', 'host'])('DEVELOPERS.md lists the rooms of %s', (top) => {
  it('each once, and none that is gone', () => expect(listed(top).sort()).toEqual(roomsOf(top).sort()));

  it('and draws none that is gone (npm run rooms draws it again)', () => {
    expect(drawn(top).length).toBeGreaterThan(10);
    expect(drawn(top).filter((room) => !roomsOf(top).includes(room))).toEqual([]);
  });
});
