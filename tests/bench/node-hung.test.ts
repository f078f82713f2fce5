import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { freePort } from '../../host/supervise/free-port.js';
import { type RunningCommand, startCommand, until } from './house/running-command.js';

type Truth = {
  emulatedS: number;
  pins: { missingPulseSounding: boolean; heartbeatEdges: number };
  missingPulseSoundsFromS: number;
};

const entry = resolve(import.meta.dirname, '../../dist/host/cli/elbowroom.js');
/** On SIGUSR2 the process runs in a circle and comes back to nothing, on SIGWINCH it forgets to handle a rejection, as bugs could make it. */
const bugOnSignal =
  "data:text/javascript,process.on('SIGUSR2',()=>{for(;;);});process.on('SIGWINCH',()=>{Promise.reject(new Error('made'))})";

/** Allowed from the fault to the sound: the circuit's own 2.2 s, and the rest of a pass already under way. */
const heardWithinS = 5;

describe('a node that is there but does nothing', () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'elbowroom-'));
  const kit = join(dataDir, 'kit.yaml');
  let ports: { board: number; control: number; link: number };
  let board: RunningCommand;
  let node: ChildProcess | undefined;

  const truth = async () => (await (await fetch(`http://127.0.0.1:${ports.control}/truth`)).json()) as Truth;
  const startNode = () => {
    const where = ['--board', `tcp://127.0.0.1:${ports.board}`, '--link', `127.0.0.1:${ports.link}`];
    const args = ['--import', bugOnSignal, entry, 'node', '--kit', kit, ...where];
    node = spawn(process.execPath, [...args, '--data-dir', join(dataDir, 'node')], { stdio: 'ignore' });
  };
  const untilBeating = () =>
    until('a heartbeat', async () => {
      const { pins } = await truth();
      return pins.heartbeatEdges > 20 && !pins.missingPulseSounding;
    });
  const soundsAfterS = async (fault: () => void) => {
    // Read before the fault: whatever the node still does is within the time allowed.
    const { emulatedS } = await truth();
    fault();
    const heard = await until('the missing-pulse circuit', async () => {
      const now = await truth();
      return now.pins.missingPulseSounding && now;
    });
    const afterS = heard.missingPulseSoundsFromS - emulatedS;
    expect(afterS).toBeGreaterThan(0);
    return afterS;
  };

  beforeAll(async () => {
    ports = { board: await freePort(), control: await freePort(), link: await freePort() };
    const at = ['--board-port', `${ports.board}`, '--control-port', `${ports.control}`];
    board = startCommand('bench-board', '--kit', kit, ...at);
    await until('the bench to answer', truth);
    startNode();
    await untilBeating();
  });
  afterAll(async () => {
    node?.kill('SIGKILL');
    await board?.kill('SIGKILL');
    rmSync(dataDir, { recursive: true, force: true });
  });

  it('stopped by SIGSTOP it is heard within 5 s of emulated time, and beats again when it continues', async () => {
    expect(await soundsAfterS(() => node?.kill('SIGSTOP'))).toBeLessThan(heardWithinS);
    const { pins } = await truth();
    node?.kill('SIGCONT');
    await until('the circuit to fall silent', async () => !(await truth()).pins.missingPulseSounding);
    await until('more beats', async () => (await truth()).pins.heartbeatEdges > pins.heartbeatEdges + 20);
  });

  it('caught in an endless loop it is heard within 5 s, and keeps being heard until it is started again', async () => {
    expect(await soundsAfterS(() => node?.kill('SIGUSR2'))).toBeLessThan(heardWithinS);
    const { emulatedS, pins } = await truth();
    await until('3 s more', async () => (await truth()).emulatedS > emulatedS + 3);
    expect((await truth()).pins).toEqual(pins);
    node?.kill('SIGKILL');
    startNode();
    await until('a heartbeat', async () => !(await truth()).pins.missingPulseSounding);
  });

  it('with a rejection that nothing handles it ends with code 1 and is heard within 5 s, until it is started again', async () => {
    await untilBeating();
    const ended = new Promise((done) => node?.once('exit', done));
    expect(await soundsAfterS(() => node?.kill('SIGWINCH'))).toBeLessThan(heardWithinS);
    expect(await ended).toBe(1);
    startNode();
    await untilBeating();
  });
});
