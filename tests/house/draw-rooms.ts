import { execFileSync } from 'node:child_process';
import { readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { houseRoot } from './house-root.js';

/**
 * `npm run rooms`: draws which room imports which, as dependency-cruiser finds it, into DEVELOPERS.md. An arrow that a
 * longer way through other rooms implies is left out; there are no cycles, so nothing is lost that a reader needs.
 */
type Cruised = {
  readonly modules: readonly {
    readonly source: string;
    readonly dependencies: readonly { readonly resolved: string }[];
  }[];
};

const cruise = (): Cruised =>
  JSON.parse(
    execFileSync(
      join(houseRoot, 'node_modules/.bin/depcruise'),
      ['--exclude', '(^dist|\\.tsx$)', '--output-type', 'json', 'calibration', 'node', 'host'],
      { cwd: houseRoot, encoding: 'utf8', maxBuffer: 64e6 },
    ),
  );

type Arrows = ReadonlyMap<string, ReadonlySet<string>>;

/** Arrows between rooms; `roomOf` gives the room of a file, or nothing where it is not drawn. */
const arrowsOf = ({ modules }: Cruised, roomOf: (file: string) => string | undefined): Arrows => {
  const arrows = new Map<string, Set<string>>();
  for (const { source, dependencies } of modules) {
    const from = roomOf(source);
    if (from === undefined) continue;
    const to = arrows.get(from) ?? new Set();
    arrows.set(from, to);
    for (const { resolved } of dependencies) {
      const room = roomOf(resolved);
      if (room !== undefined && room !== from) to.add(room);
    }
  }
  return arrows;
};

const reaches = (arrows: Arrows, from: string, to: string): boolean =>
  [...(arrows.get(from) ?? [])].some((next) => next === to || reaches(arrows, next, to));

/** Without the arrows that a longer way implies. */
const reduced = (arrows: Arrows): readonly string[] =>
  [...arrows]
    .sort(([a], [b]) => a.localeCompare(b))
    .flatMap(([from, to]) =>
      [...to]
        .sort()
        .filter((one) => ![...to].some((other) => other !== one && reaches(arrows, other, one)))
        .map((one) => `  ${from} --> ${one}`),
    );

const second = (top: string) => (file: string) => {
  const [first, room, rest] = file.split('/');
  if (first !== top) return undefined;
  return rest === undefined ? undefined : room;
};

const picture = (arrows: Arrows): string =>
  `\`\`\`mermaid\nflowchart LR\n${reduced(arrows).join('\n')}\n\`\`\``;

const path = join(houseRoot, 'DEVELOPERS.md');
const cruised = cruise();
let text = readFileSync(path, 'utf8');
for (const top of ['calibration', 'node', 'host']) {
  const [begin, end] = [`<!-- rooms of ${top}: npm run rooms -->`, `<!-- end of ${top} -->`];
  const from = text.indexOf(begin);
  const to = text.indexOf(end);
  if (from < 0 || to < from) throw new Error(`DEVELOPERS.md has no place "${begin}" ... "${end}".`);
  text = `${text.slice(0, from)}${begin}\n${picture(arrowsOf(cruised, second(top)))}\n${text.slice(to)}`;
}
writeFileSync(path, text);
