import { describe, expect, it } from 'vitest';
import { importsOf, type SourceFile, sourceFiles } from './source-files.js';

const rooms = {
  calibration: sourceFiles('calibration'),
  node: sourceFiles('node'),
  host: sourceFiles('host'),
};

/** The room that a path from the root lies in. */
const roomOf = (target: string): string => target.split('/')[0] ?? '';

const strays = (
  files: readonly SourceFile[],
  isStray: (target: string, own: boolean, path: string) => boolean,
) =>
  files.flatMap((file) =>
    file.imports.filter((i) => isStray(i.target, i.own, file.path)).map((i) => `${file.path} -> ${i.target}`),
  );

describe('imports go one way: calibration <- node <- host', () => {
  it('reads files and imports at all', () => {
    for (const files of Object.values(rooms)) expect(files.length).toBeGreaterThan(3);
    expect(rooms.node.flatMap((file) => file.imports).length).toBeGreaterThan(50);
  });

  it('finds each way of importing, so that none can slip past', () => {
    const text = `import five from 'johnny-five';
import type { Kit } from '../kit/schema.js';
export { x } from './x.js';
import 'serialport/side-effect';
import {
  a,
  b,
} from '../../host/a.js';
const lazy = await import('../board/open.js');`;
    expect(importsOf('node/guard/sample.ts', text).map((i) => i.target)).toEqual([
      'johnny-five',
      'node/kit/schema.js',
      'node/guard/x.js',
      'serialport',
      'host/a.js',
      'node/board/open.js',
    ]);
  });

  it('calibration imports none of the other rooms', () => {
    expect(strays(rooms.calibration, (target, own) => own && roomOf(target) !== 'calibration')).toEqual([]);
  });

  it('node imports calibration and itself only', () => {
    expect(
      strays(rooms.node, (target, own) => own && !['calibration', 'node'].includes(roomOf(target))),
    ).toEqual([]);
  });

  it('host reaches into node through node/index.ts alone, and into calibration through calibration/index.ts', () => {
    expect(
      strays(
        rooms.host,
        (target, own) =>
          own && roomOf(target) !== 'host' && !['node/index.js', 'calibration/index.js'].includes(target),
      ),
    ).toEqual([]);
  });

  it('tests are imported by no room', () => {
    const all = [...rooms.calibration, ...rooms.node, ...rooms.host];
    expect(strays(all, (target, own) => own && roomOf(target) === 'tests')).toEqual([]);
  });
});

/** Where a package may be imported; a package that is not named here may be imported anywhere. */
const homes: Readonly<Record<string, readonly string[]>> = {
  'johnny-five': ['node/board/'],
  'firmata-io': ['node/board/'],
  serialport: ['node/board/'],
  '@serialport/parser-readline': ['node/link/', 'node/board/'],
  avr8js: ['node/bench/'],
  '@influxdata/influxdb-client': ['host/forward/'],
  'better-sqlite3': ['host/store/'],
  fastify: ['host/serve/', 'node/bench/control/'],
  yargs: ['host/cli/'],
  preact: ['host/page/'],
  uplot: ['host/page/'],
};

describe('packages stay at home', () => {
  const all = [...rooms.calibration, ...rooms.node, ...rooms.host];
  for (const [name, folders] of Object.entries(homes)) {
    it(`${name} is imported in ${folders.join(' and ')} only`, () => {
      expect(
        strays(
          all,
          (target, own, path) => !own && target === name && !folders.some((f) => path.startsWith(f)),
        ),
      ).toEqual([]);
    });
  }
});

/** Words that mean a clock, a timer, chance, a file or the process. */
const impure = /\b(Date\.now|new Date\(\)|performance\.now|setTimeout|setInterval|Math\.random|process\.)/;
const withoutComments = (text: string): string => text.replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '');

describe('calibration/ and node/guard/ are pure', () => {
  const pure = [...rooms.calibration, ...rooms.node.filter((file) => file.path.startsWith('node/guard/'))];

  it('they use no clock, timer, chance, file or process', () => {
    expect(pure.filter((file) => impure.test(withoutComments(file.text))).map((file) => file.path)).toEqual(
      [],
    );
  });

  it('they import no module of the platform', () => {
    expect(strays(pure, (target, own) => !own && target.startsWith('node:'))).toEqual([]);
  });
});
