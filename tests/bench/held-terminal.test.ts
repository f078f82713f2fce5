import { type ChildProcess, spawn } from 'node:child_process';
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join, resolve } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { freePort } from '../../host/supervise/free-port.js';
import { benchKitYaml } from '../../node/bench/index.js';
import { startCommand, until } from './house/running-command.js';

const entry = resolve(import.meta.dirname, '../../dist/host/cli/elbowroom.js');
const [ctrlS, ctrlQ] = ['\x13', '\x11'];

describe('a node in a terminal', () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-terminal-'));
  const kit = join(folder, 'kit.yaml');
  let health: string;
  let terminal: ChildProcess;
  let pid: number;
  let shown = '';

  const isAlive = async () =>
    (await fetch(`http://${health}/alive`, { signal: AbortSignal.timeout(2_000) })).ok;
  /**
   * Each makes the node say several lines, because the kit that it is asked to read again cannot be used; it answers after
   * each, so none is merged with the next.
   */
  const say = async (times: number) => {
    for (let i = 0; i < times; i++) {
      process.kill(pid, 'SIGHUP');
      await until('the node to answer', isAlive);
    }
  };

  beforeAll(async () => {
    writeFileSync(kit, benchKitYaml);
    health = `127.0.0.1:${await freePort()}`;
    const node = [process.execPath, entry, 'node', '--kit', kit, '--board', 'tcp://127.0.0.1:1'];
    const script = join(folder, 'start');
    const command = [...node, '--link', '127.0.0.1:0', '--health', health].join(' ');
    writeFileSync(script, `echo PID $$\nexec ${command}\n`);
    // A terminal with the usual settings, so that Ctrl-S holds it; socat is its other end.
    terminal = spawn('socat', ['STDIO', `EXEC:sh ${script},pty,setsid,ctty,stderr,echo=0`]);
    terminal.stdout?.on('data', (chunk) => {
      shown += chunk;
    });
    pid = Number(await until('the process id', () => /PID (\d+)/.exec(shown)?.[1]));
    await until('the node to run', isAlive);
  });
  afterAll(() => {
    try {
      process.kill(pid, 'SIGKILL');
    } catch {
      // It has ended.
    }
    terminal.kill('SIGKILL');
    rmSync(folder, { recursive: true, force: true });
  });

  it('that is held by Ctrl-S makes its passes all the same, and says later what it did not say', async () => {
    terminal.stdin?.write(ctrlS);
    writeFileSync(kit, 'kit: [');
    await say(400);
    const before = shown.length;
    terminal.stdin?.write(ctrlQ);
    await until('the terminal to show lines again', () => shown.length > before);
    await say(2);
    await until('the word about what was dropped', () => /lines were not written/.test(shown));
  });

  it('that is closed leaves it running, and it still ends by a SIGTERM before systemd would kill it', async () => {
    const closed = new Promise((done) => terminal.once('exit', done));
    terminal.kill('SIGKILL');
    await closed;
    await say(20);
    process.kill(pid, 'SIGTERM');
    const hasEnded = () => {
      try {
        process.kill(pid, 0);
        return false;
      } catch {
        return true;
      }
    };
    // TimeoutStopSec in host/service/unit.ts.
    await until('the end', hasEnded, 10);
  });
});

describe('watch', () => {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-hung-'));
  const kit = join(folder, 'kit.yaml');
  afterAll(() => rmSync(folder, { recursive: true, force: true }));

  it('starts a node again that was stopped with SIGSTOP, continues when its output is not read, and survives a hang-up', async () => {
    writeFileSync(kit, benchKitYaml.replace('connection: bench', 'connection: "tcp://127.0.0.1:1"'));
    const link = await freePort();
    const watch = startCommand(
      ...['watch', '--kit', kit, '--link', `127.0.0.1:${link}`, '--page-port', '0', '--data-dir', folder],
    );
    try {
      await until('the page', () => /http:\/\/127/.test(watch.said()));
      const { pid } = watch.child;
      const nodePid = async () => {
        const ps = spawn('ps', ['--ppid', `${pid}`, '-o', 'pid=,args=']);
        let said = '';
        for await (const chunk of ps.stdout) said += chunk;
        return Number(/^ *(\d+) .*elbowroom\.js node /m.exec(said)?.[1]);
      };
      const first = await nodePid();
      process.kill(first, 'SIGSTOP');
      await until('another node', async () => (await nodePid()) > 0 && (await nodePid()) !== first);
      expect(watch.said()).toMatch(/node hangs: no progress for 5 s; it is killed/);
      watch.child.stdout?.destroy();
      watch.child.stderr?.destroy();
      process.kill(pid ?? 0, 'SIGHUP');
      const second = await nodePid();
      process.kill(second, 'SIGKILL');
      await until('a third node', async () => (await nodePid()) > 0 && (await nodePid()) !== second);
      expect(watch.child.exitCode).toBeNull();
    } finally {
      await watch.kill();
    }
    expect(await watch.ended).toBe(0);
  });
});
