import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { freePort } from '../../host/supervise/free-port.js';
import { benchKitYaml } from '../../node/bench/index.js';
import { type RunningCommand, startCommand, until } from './house/running-command.js';
import { LinkListener } from './link-listener.js';

/** No board is there, so an alert is active that the guard must not forget while its settings are read again. */
describe('the kit file of a running node', () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-again-'));
  const kit = join(folder, 'kit.yaml');
  let node: RunningCommand;
  const secretPath = `${kit}.link-secret`;
  let host: LinkListener;
  const seaName = () => host.last('hello')?.probes.find(({ id }) => id === 'sea-water')?.name;
  const lost = () => host.alerts.find(({ rule }) => rule === 'board-lost');
  const saidSince = (from: number) => node.said().slice(from);
  const named = (name: string) => benchKitYaml.replace('name: Sea water', `name: ${name}`);

  beforeAll(async () => {
    writeFileSync(kit, benchKitYaml);
    const port = await freePort();
    node = startCommand(
      'node',
      '--kit',
      kit,
      '--board',
      'tcp://127.0.0.1:1',
      '--link',
      `127.0.0.1:${port}`,
      '--link-secret',
      secretPath,
    );
    await until('the node to run', () => node.said().includes(`port ${port}`));
    host = new LinkListener(port, secretPath);
    await until('the board-lost alert', () => lost()?.state === 'unacknowledged');
    host.acknowledge(lost()?.id ?? '');
    await until('it to be acknowledged', () => lost()?.state === 'acknowledged');
  });
  afterAll(async () => {
    host?.close();
    await node?.kill('SIGKILL');
    rmSync(folder, { recursive: true, force: true });
  });

  /** Still the same start of the same program, with the same alert in the same state since the same time. */
  const unforgotten = async (change: () => Promise<unknown>) => {
    const before = { alert: lost(), boot: host.messages.at(-1)?.boot };
    await change();
    expect(host.messages.at(-1)?.boot).toBe(before.boot);
    expect(lost()).toMatchObject({ state: 'acknowledged', since: before.alert?.since });
    expect(node.child.exitCode).toBeNull();
  };

  it('is read again on SIGHUP, and says so', () =>
    unforgotten(async () => {
      writeFileSync(kit, named('Sea inlet'));
      const from = node.said().length;
      node.child.kill('SIGHUP');
      await until('the new name', () => seaName() === 'Sea inlet');
      await until('the answer', () => saidSince(from).includes('was read again and is in force'));
    }));

  it('that cannot be used changes nothing: the old one stays in force, and what is wrong is said', () =>
    unforgotten(async () => {
      const bad = named('Never seen').replace(/raiseAtC: \d+/, 'raiseAtC: hot');
      writeFileSync(kit, bad);
      const from = node.said().length;
      node.child.kill('SIGHUP');
      await until('the answer', () => saidSince(from).includes('stay in force'));
      expect(saidSince(from)).toMatch(/kit\.yaml[\s\S]*line \d+, column \d+[\s\S]*found "hot"/);
      expect(seaName()).toBe('Sea inlet');
    }));

  it('that is only saved takes effect by itself', () =>
    unforgotten(async () => {
      writeFileSync(kit, named('Sea chest'));
      await until('the new name without a signal', () => seaName() === 'Sea chest');
    }));

  it('that was removed changes nothing, and a SIGHUP says that it is not there', () =>
    unforgotten(async () => {
      rmSync(kit);
      const from = node.said().length;
      node.child.kill('SIGHUP');
      await until('the answer', () => saidSince(from).includes('stay in force'));
      expect(saidSince(from)).toContain(kit);
      expect(seaName()).toBe('Sea chest');
    }));
});
