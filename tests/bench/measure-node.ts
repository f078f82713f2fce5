import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { createServer, type Socket } from 'node:net';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { guardFlags } from '../../host/cli/guard-flags.js';
import { BenchBoat } from '../../node/bench/bench-boat.js';
import { Plant } from '../../node/bench/plant/plant.js';
import { parseKit } from '../../node/kit/load-kit.js';
import { FirmataSpeaker } from './firmata-speaker.js';
import { LinkListener } from './link-listener.js';

/**
 * Prints the CPU share and the resident memory of the node itself: the compiled program as a process of its own,
 * eight channels at 10 Hz, a host that listens, on a line that behaves like the stock firmware. Minutes as the first
 * argument; an hour unless given. Linux only, since it reads /proc.
 */
const minutes = Number(process.argv[2] ?? 60);

const thermistor = '{ law: beta, r25Ohms: 10000, betaK: 3977 }';
const divider = (id: string, pin: string) =>
  `  - { id: ${id}, name: ${id}, engine: port, place: wet-elbow, channel: { kind: ntc-divider, pin: ${pin}, resistorOhms: 2200, thermistor: ${thermistor} } }`;
const gas = (id: string, address: string) =>
  `  - { id: ${id}, name: ${id}, engine: starboard, place: dry-exhaust, mounting: free, channel: { kind: mcp960x, address: ${address} } }`;
const kitYaml = `kit: 1
boat: { name: Eight Channels, invented: true }
board: { connection: bench, sampleHz: 10 }
outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 }
probes:
${['A0', 'A1', 'A2', 'A3'].map((pin, i) => divider(`elbow-${i}`, pin)).join('\n')}
${['0x60', '0x62', '0x64', '0x67'].map((address, i) => gas(`gas-${i}`, address)).join('\n')}
`;

const folder = mkdtempSync(join(tmpdir(), 'elbowroom-measure-'));
const kitPath = join(folder, 'kit.yaml');
writeFileSync(kitPath, kitYaml);

const plant = new Plant({ seed: 1 });
for (const engine of ['port', 'starboard'] as const) plant.setThrottle(engine, 0.75);
plant.step(1200);
const boat = new BenchBoat(parseKit(kitYaml, 'kit'), plant);
let line: Socket | undefined;
const speaker = new FirmataSpeaker(boat, (bytes) => line?.write(Uint8Array.from(bytes)));
const board = createServer((socket) => {
  line = socket.setNoDelay(true);
  socket.on('data', (bytes) => speaker.receive(bytes));
  socket.on('error', () => {});
}).listen(0, '127.0.0.1');
let spokenAt = performance.now();
const speaking = setInterval(() => {
  for (const now = performance.now(); spokenAt + 10 <= now; spokenAt += 10) speaker.advance(10);
}, 10);

await new Promise((done) => board.once('listening', done));
const boardPort = (board.address() as { port: number }).port;
const secretPath = join(folder, 'link-secret');
const entry = resolve(import.meta.dirname, '../../host/cli/elbowroom.js');
const node: ChildProcess = spawn(
  process.execPath,
  [
    ...guardFlags,
    entry,
    'node',
    ...['--kit', kitPath, '--board', `tcp://127.0.0.1:${boardPort}`, '--link', '127.0.0.1:0'],
    ...['--data-dir', folder, '--link-secret', secretPath],
  ],
  { stdio: ['ignore', 'ignore', 'pipe'] },
);
const linkPort = await new Promise<number>((found, failed) => {
  let said = '';
  node.stderr?.on('data', (chunk) => {
    said += chunk;
    const port = /port (\d+)/.exec(said)?.[1];
    if (port) found(Number(port));
  });
  node.once('exit', () => failed(new Error(said)));
});
const host = new LinkListener(linkPort, secretPath);

/** Seconds of processor time of a process so far, user and system. */
const cpuS = (pid: number): number => {
  const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]?.split(' ') ?? [];
  // Fields 14 and 15 of proc(5), in clock ticks; Linux gives user space 100 a second.
  return (Number(fields[11]) + Number(fields[12])) / 100;
};
const residentMB = (pid: number): number =>
  Number(/VmRSS:\s+(\d+)/.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1]) / 1024;
const wait = (ms: number) => new Promise((done) => setTimeout(done, ms));

const pid = node.pid as number;
await wait(15_000);
const passes = () => host.last('status')?.counters.passes ?? 0;
const from = { at: performance.now(), cpuS: cpuS(pid), passes: passes(), firstMB: residentMB(pid) };
let mostMB = from.firstMB;
while (performance.now() - from.at < minutes * 60_000) {
  await wait(Math.min(10_000, minutes * 60_000));
  mostMB = Math.max(mostMB, residentMB(pid));
}
const spanS = (performance.now() - from.at) / 1000;
const seconds = host.messages.flatMap(({ message }) =>
  message.kind === 'readings' && message.rate === 'second' ? [message] : [],
);
const good = seconds.at(-1)?.rows.filter(({ quality }) => quality === 'good').length;
console.log(
  JSON.stringify({
    minutes: Number((spanS / 60).toFixed(1)),
    cpuPercentOfOneCore: Number((((cpuS(pid) - from.cpuS) / spanS) * 100).toFixed(2)),
    residentMB: {
      atStart: Math.round(from.firstMB),
      atEnd: Math.round(residentMB(pid)),
      most: Math.round(mostMB),
    },
    passesPerS: Number(((passes() - from.passes) / spanS).toFixed(2)),
    channelsGood: good,
    board: host.last('status')?.boardDetail,
  }),
);
clearInterval(speaking);
host.close();
node.kill('SIGTERM');
await new Promise((done) => node.once('exit', done));
board.close();
line?.destroy();
rmSync(folder, { recursive: true });
