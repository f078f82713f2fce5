/**
 * The import rules of the repository. `npm run rules`, a part of `npm run lint`, applies them to the TypeScript sources (type
 * imports included), but for the page's .tsx files, which the parser cannot read.
 */
const room = (name) => `^(dist/)?${name}/`;

/** Where a package may be imported; a package that is not named here may be imported anywhere. */
const homes = {
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
  mqtt: ['host/outputs/mqtt/'],
  nodemailer: ['host/outputs/messages/'],
  'prom-client': ['host/serve/'],
  stk500: ['node/board/flash/'],
  'stk500-v2': ['node/board/flash/'],
};

/** The rooms that use no clock, timer, chance, file or process; `tests/house` looks for the words that need no import. */
const pureRooms = '^(dist/)?(calibration|node/guard|node/alerts)/';

module.exports = {
  forbidden: [
    { name: 'no-cycle', severity: 'error', from: {}, to: { circular: true } },
    { name: 'no-folder-cycle', severity: 'error', scope: 'folder', from: {}, to: { circular: true } },
    {
      name: 'calibration-imports-no-other-room',
      severity: 'error',
      from: { path: room('calibration') },
      to: { path: '^(dist/)?(node|host|tests)/' },
    },
    {
      name: 'node-imports-calibration-only',
      severity: 'error',
      from: { path: room('node') },
      to: { path: '^(dist/)?(host|tests)/' },
    },
    {
      name: 'host-uses-the-contract-of-the-other-rooms',
      severity: 'error',
      from: { path: room('host') },
      to: {
        path: '^(dist/)?(calibration|node|tests)/',
        // The base of errors is also had alone: a command line that only prints help loads no thermometry.
        pathNot: '^(dist/)?((calibration|node(/bench)?)/index|calibration/errors)\\.',
      },
    },
    {
      name: 'only-the-bench-commands-use-the-bench',
      comment: 'The emulated boat is never loaded by what runs on a real one.',
      severity: 'error',
      from: {
        path: '^(dist/)?(node|host)/',
        pathNot: '^(dist/)?(node/bench/|host/cli/|host/demo-season/)',
      },
      to: { path: room('node/bench') },
    },
    {
      name: 'pure-rooms-import-no-platform-module',
      severity: 'error',
      from: { path: pureRooms },
      to: { dependencyTypes: ['core'] },
    },
    ...Object.entries(homes).map(([name, folders]) => ({
      name: `${name.replace(/\W+/g, '-')}-at-home`,
      severity: 'error',
      from: {
        path: '^(dist/)?(calibration|node|host)/',
        pathNot: folders.map((f) => `^(dist/)?${f}`).join('|'),
      },
      to: { path: `node_modules/${name}/` },
    })),
  ],
  options: {
    doNotFollow: { path: 'node_modules' },
    exclude: { path: '^dist/(page|tests)/' },
    parser: 'swc',
    tsPreCompilationDeps: true,
    enhancedResolveOptions: {
      extensions: ['.ts', '.tsx', '.d.ts', '.js'],
      conditionNames: ['import', 'node', 'default'],
    },
  },
};
