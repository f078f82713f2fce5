import { type ChildProcess, fork } from 'node:child_process';
import { isMemberMessage, type ReadyDetail } from './messages.js';
import { afterEnd, freshRestartState, type RestartState } from './restart-policy.js';

export type Member = {
  /** Prefix of each line it prints. */
  readonly name: string;
  /** Arguments of this same command line. */
  readonly args: readonly string[];
  /** Options of the runtime, such as the heap's. */
  readonly execArgv?: readonly string[];
  /** Whether all ends with it when it cannot come up; any other is tried again for ever beside the others. */
  readonly endsAll: boolean;
  /** Without progress for so long it hangs: it is killed and started again. */
  readonly progressWithinMs: number;
  /** Said when it is down until somebody repairs something: what goes on without it, and what does not. */
  readonly whenDown?: string;
};

export type Crew = {
  /** Resolves with the exit code that the whole should end with: 0 after a wished stop. */
  readonly ended: Promise<number>;
  stop(): void;
};

/** Grace between SIGTERM and SIGKILL when stopping. */
const stopGraceMs = 5000;

/**
 * Starts the members one after another, each when the one before is ready or has ended, and restarts any that ends.
 * A member that `endsAll` and cannot come up ends the whole with its exit code; no other can.
 */
export const supervise = (
  entry: string,
  members: readonly Member[],
  say: (line: string) => void,
  onReady: (name: string, detail: ReadyDetail) => void,
): Crew => {
  const running = new Map<string, ChildProcess>();
  const timers = new Set<NodeJS.Timeout>();
  let stopping: { code: number } | undefined;
  let finish: (code: number) => void = () => {};
  const ended = new Promise<number>((resolve) => {
    finish = resolve;
  });

  const stopAll = (code: number): void => {
    stopping ??= { code };
    for (const timer of timers) clearTimeout(timer);
    if (running.size === 0) finish(stopping.code);
    for (const child of running.values()) {
      child.kill('SIGTERM');
      setTimeout(() => child.kill('SIGKILL'), stopGraceMs).unref();
    }
  };

  const start = (member: Member, state: RestartState, firstReady: () => void): void => {
    let current = state;
    const startedMs = performance.now();
    const again = (how: string, exitCode: number | null): void => {
      const ranMs = performance.now() - startedMs;
      const decision = afterEnd(current, { exitCode, ranMs }, member.endsAll);
      if (decision.kind === 'end-all') {
        say(`${member.name} ${how}: ${decision.why}.`);
        stopAll(exitCode || 3);
        return;
      }
      firstReady();
      const { needsRepair, afterMs } = decision;
      const next = `starting it again${afterMs ? ` in ${afterMs / 1000} s` : ''}.`;
      say(
        needsRepair === undefined
          ? `${member.name} ${how}; ${next}`
          : `${member.name} ${how}: ${needsRepair}. ${member.whenDown ?? ''} Repair what it says above; ${next}`,
      );
      const timer = setTimeout(() => {
        timers.delete(timer);
        start(member, decision.state, firstReady);
      }, afterMs);
      timers.add(timer);
    };
    const child = begin(entry, member);
    // No memory or no file for a new process at this moment: that passes, and must not be the end of the guard.
    if (child instanceof Error) {
      again(`could not be started (${child.message})`, null);
      return;
    }
    running.set(member.name, child);
    const watchdog = watchProgress(member, () => {
      say(`${member.name} hangs: no progress for ${member.progressWithinMs / 1000} s; it is killed.`);
      // The only signal that a stopped process takes.
      child.kill('SIGKILL');
    });
    child.on('message', (message) => {
      if (!isMemberMessage(message)) return;
      if (message.kind === 'progress') return watchdog.progress(message.count);
      watchdog.ready();
      firstReady();
      current = { ...current, everReady: true };
      onReady(member.name, message.detail);
    });
    const over = (how: string, exitCode: number | null): void => {
      watchdog.stop();
      running.delete(member.name);
      if (!stopping) again(how, exitCode);
      else if (running.size === 0) finish(stopping.code);
    };
    child.on('error', (error) => {
      // One that was never started does not exit either.
      if (child.pid === undefined) over(`could not be started (${error.message})`, null);
      else say(`${member.name}: ${error.message}`);
    });
    child.on('exit', (exitCode, signal) =>
      over(signal ? `ended by ${signal}` : `ended with exit code ${exitCode}`, exitCode),
    );
  };

  let started = 0;
  const startFrom = (index: number): void => {
    const member = members[index];
    if (!member || stopping || index < started) return;
    started = index + 1;
    start(member, freshRestartState, () => startFrom(index + 1));
  };
  startFrom(0);
  return { ended, stop: () => stopAll(0) };
};

/** The process, or why the system gives none now. */
const begin = (entry: string, member: Member): ChildProcess | Error => {
  try {
    return fork(entry, member.args, {
      stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
      execArgv: [...process.execArgv, ...(member.execArgv ?? [])],
    });
  } catch (error) {
    return error as Error;
  }
};

/** A slow computer with a large store takes so long to start. */
const startWithinMs = 120_000;
const lookEveryMs = 1_000;

/** Calls `hangs` when the count has not grown for too long. What this process itself missed does not count. */
const watchProgress = ({ progressWithinMs }: Member, hangs: () => void) => {
  let count = -1;
  let seenMs = performance.now();
  let lookedMs = seenMs;
  let allowedMs = startWithinMs;
  const timer = setInterval(() => {
    const nowMs = performance.now();
    // This process was itself stopped, or the computer slept.
    if (nowMs - lookedMs > 3 * lookEveryMs) seenMs = nowMs;
    lookedMs = nowMs;
    if (nowMs - seenMs <= allowedMs) return;
    clearInterval(timer);
    hangs();
  }, lookEveryMs);
  return {
    ready: () => {
      allowedMs = progressWithinMs;
      seenMs = performance.now();
    },
    progress: (now: number) => {
      if (now !== count) seenMs = performance.now();
      count = now;
    },
    stop: () => clearInterval(timer),
  };
};
