import { BenchBoat } from '../../node/bench/bench-boat.js';
import { serveBoard } from '../../node/bench/board/start-board.js';
import { benchKitYaml } from '../../node/bench/index.js';
import { Plant } from '../../node/bench/plant/plant.js';
import { firmwareVersions } from '../../node/board/flash/firmware-image.js';
import { parseKit } from '../../node/kit/load-kit.js';
import { SteppedBoard } from './stepped-board.js';

/** Prints what the emulated board costs on this machine; `npm run bench:emulator`. Nothing here is asserted. */
const boat = () => new BenchBoat(parseKit(benchKitYaml, 'bench kit'), new Plant());
const cpuS = (since: NodeJS.CpuUsage) => {
  const { user, system } = process.cpuUsage(since);
  return (user + system) / 1e6;
};
const print = (what: string, value: string) => console.log(`${what.padEnd(58)} ${value}`);

for (const firmware of firmwareVersions) {
  const board = new SteppedBoard({ firmware, outside: boat() });
  let firstAtS: number | undefined;
  board.emulation.line.open(() => {
    firstAtS ??= board.emulation.nowS;
  });
  await board.advanceUntil(() => firstAtS !== undefined, 4);
  print(`firmware ${firmware}: power-on to its first report`, `${firstAtS?.toFixed(2)} emulated s`);
}

const stepped = new SteppedBoard({ outside: boat() });
await stepped.advance(3);
for (const channel of [0, 1, 2, 3]) stepped.emulation.line.fromComputer(Uint8Array.of(0xc0 | channel, 1));
const secondsEach: number[] = [];
for (let run = 0; run < 20; run++) {
  const before = process.cpuUsage();
  await stepped.advance(0.5);
  secondsEach.push(cpuS(before) / 0.5);
}
secondsEach.sort((a, b) => a - b);
const [best = 1, median = 1] = [secondsEach[0], secondsEach[10]];
print(
  'emulated time per second of CPU, best and median of 20',
  `${(1 / best).toFixed(1)} and ${(1 / median).toFixed(1)} s`,
);

const served = await serveBoard({ outside: boat(), resetOnOpen: false });
await new Promise((resolve) => setTimeout(resolve, 1000));
const [cpuBefore, wallBefore, emulatedBefore] = [
  process.cpuUsage(),
  performance.now(),
  served.emulation.nowS,
];
await new Promise((resolve) => setTimeout(resolve, 10_000));
const wallS = (performance.now() - wallBefore) / 1000;
print('CPU share of one core at real-time pace, 10 s', `${((100 * cpuS(cpuBefore)) / wallS).toFixed(0)} %`);
print(
  'emulated time against the wall meanwhile',
  `${((served.emulation.nowS - emulatedBefore) / wallS).toFixed(3)}`,
);
print('forgiven because this computer could not keep up', `${served.pacing.behindS.toFixed(2)} s`);
await served.close();
