import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BenchBoat } from '../../node/bench/bench-boat.js';
import { benchKitYaml } from '../../node/bench/index.js';
import { Plant } from '../../node/bench/plant/plant.js';
import { loadKit, runNode } from '../../node/index.js';
import { until } from './house/running-command.js';
import { serveBoardOnTerminal } from './pty-port.js';

describe('from a hot elbow to the buzzer, through the real serial binding', () => {
  const dataDir = mkdtempSync(join(tmpdir(), 'elbowroom-'));
  const kitPath = join(dataDir, 'kit.yaml');
  const terminal = join(dataDir, 'ttyBench');
  writeFileSync(kitPath, benchKitYaml);
  const plant = new Plant();
  plant.setThrottle('port', 0.5);
  const boat = new BenchBoat(loadKit(kitPath), plant);
  let board: Awaited<ReturnType<typeof serveBoardOnTerminal>>;
  let node: Awaited<ReturnType<typeof runNode>>;

  const untilQuiet = () => until('a heartbeat', () => !boat.pins.missingPulseSounding);

  beforeAll(async () => {
    board = await serveBoardOnTerminal({ link: terminal, outside: boat });
    node = await runNode({ kitPath, connection: terminal, linkListen: '127.0.0.1:0', dataDir });
    await until('the first beat', () => boat.pins.heartbeatEdges > 0);
    await untilQuiet();
  });
  afterAll(async () => {
    await node?.stop();
    await board?.close();
    rmSync(dataDir, { recursive: true, force: true });
  });

  it('with the engine running, the port elbow probe in 90 C water raises buzzer and lamp', async () => {
    expect(boat.pins.buzzer).toBe(false);
    boat.elements.get('port-elbow')?.dip(() => 90);
    await until('the buzzer', () => boat.pins.buzzer);
    await until('the lamp', () => boat.pins.lamp);
  });

  it('with the plug pulled the missing-pulse circuit sounds; plugged in again, the heartbeat returns by itself', async () => {
    await board.port.unplug();
    await until('the missing-pulse circuit', () => boat.pins.missingPulseSounding);
    await board.port.plug();
    await untilQuiet();
    const { heartbeatEdges } = boat.pins;
    await until('more beats', () => boat.pins.heartbeatEdges > heartbeatEdges + 10);
  });
});
