import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import installWhatIsMissing from './bench/system-packages.js';
import { benchLanes } from './lanes.js';

/**
 * Runs the whole suite: each lane in a process of its own, side by side. Arguments go to every lane, so
 * `npm test -- --sequence.shuffle.files` works. Pure tests and boards on emulated time only need the processor, so they
 * yield to the lanes that run in real time. Ends with a table of what each lane took.
 */
const lanes = ['fast', ...benchLanes].map((name) => ({ name, niceness: { fast: 10, boards: 5 }[name] ?? 0 }));

type Result = {
  readonly lane: string;
  readonly code: number;
  readonly wallS: number;
  readonly processorS: number;
};

const secondsOf = (text = ''): number => {
  const [minutes = 0, seconds = 0] = text.replace('s', '').split('m').map(Number);
  return minutes * 60 + seconds;
};

const run = async ({ name, niceness }: (typeof lanes)[number], args: readonly string[]): Promise<Result> => {
  const startedAt = performance.now();
  // The shell's own `times` counts the processor time of everything the lane has started, browsers and boards too.
  const script = `nice -n ${niceness} node_modules/.bin/vitest run --config tests/vitest.config.ts --project ${name} "$@"; code=$?; times >&3; exit $code`;
  const child = spawn('sh', ['-c', script, name, ...args], { stdio: ['ignore', 'pipe', 'pipe', 'pipe'] });
  let times = '';
  child.stdio[3]?.on('data', (chunk) => {
    times += chunk;
  });
  for (const stream of [child.stdout, child.stderr].filter((stream) => stream !== null))
    createInterface({ input: stream }).on('line', (line) => console.log(`${name.padEnd(8)} ${line}`));
  const [code] = (await once(child, 'close')) as [number | null];
  const [user, system] = (times.trim().split('\n')[1] ?? '').split(' ');
  return {
    lane: name,
    code: code ?? 1,
    wallS: (performance.now() - startedAt) / 1000,
    processorS: secondsOf(user) + secondsOf(system),
  };
};

installWhatIsMissing();
const startedAt = performance.now();
const results = await Promise.all(lanes.map((lane) => run(lane, process.argv.slice(2))));
const totalS = (performance.now() - startedAt) / 1000;

console.log(`\n${'lane'.padEnd(10)}${'wall s'.padStart(8)}${'processor s'.padStart(13)}  result`);
for (const { lane, code, wallS, processorS } of results)
  console.log(
    `${lane.padEnd(10)}${wallS.toFixed(0).padStart(8)}${processorS.toFixed(0).padStart(13)}  ${code === 0 ? 'green' : 'FAILED'}`,
  );
const processorS = results.reduce((sum, result) => sum + result.processorS, 0);
console.log(`${'together'.padEnd(10)}${totalS.toFixed(0).padStart(8)}${processorS.toFixed(0).padStart(13)}`);
process.exitCode = results.some(({ code }) => code !== 0) ? 1 : 0;
