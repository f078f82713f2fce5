import { type ChildProcess, spawn } from 'node:child_process';
import { existsSync } from 'node:fs';
import { join, resolve } from 'node:path';

const root = resolve(import.meta.dirname, '../../..');
const entry = join(root, 'dist/host/cli/elbowroom.js');

export type RunningCommand = {
  readonly child: ChildProcess;
  /** Everything it said on both streams so far. */
  readonly said: () => string;
  /** Resolves with the exit code, or the signal that ended it, once all that it said has come. */
  readonly ended: Promise<number | NodeJS.Signals>;
  /** Resolves when it has ended; after SIGKILL what it had started may go on for a moment. */
  kill(signal?: NodeJS.Signals): Promise<void>;
};

/** Starts `elbowroom ...args` as a user would, from the compiled files. */
export const startCommand = (...args: string[]): RunningCommand => {
  if (!existsSync(entry)) throw new Error('These tests run the compiled program. Type: npm run build');
  const child = spawn(process.execPath, [entry, ...args], { cwd: root, stdio: ['ignore', 'pipe', 'pipe'] });
  let text = '';
  child.stdout?.on('data', (chunk) => {
    text += chunk;
  });
  child.stderr?.on('data', (chunk) => {
    text += chunk;
  });
  const ended = new Promise<number | NodeJS.Signals>((done) => {
    child.on('close', (code, signal) => done(code ?? signal ?? 'SIGKILL'));
  });
  const gone = new Promise<void>((done) => {
    child.on('exit', () => done());
  });
  return {
    child,
    said: () => text,
    ended,
    async kill(signal = 'SIGTERM') {
      child.kill(signal);
      await (signal === 'SIGKILL' ? gone : ended);
    },
  };
};

/** Asks again and again until the answer is something; fails with what was last met. */
export const until = async <T>(
  what: string,
  ask: () => Promise<T | undefined | false> | T | undefined | false,
  withinS = 150,
  everyMs = 100,
): Promise<T> => {
  const endAt = performance.now() + withinS * 1000;
  let last: unknown;
  while (performance.now() < endAt) {
    try {
      const answer = await ask();
      if (answer) return answer;
      last = answer;
    } catch (error) {
      last = error;
    }
    await new Promise((done) => setTimeout(done, everyMs));
  }
  throw new Error(`Waited ${withinS} s without result for ${what}; last: ${String(last)}`);
};
