import { type ChildProcess, fork } from 'node:child_process';
import { isMemberMessage, type ReadyDetail } from './messages.js';
import { afterEnd, type End, freshRestartState, type RestartState } from './restart-policy.js';

export type Member = {
  /** Prefix of each line it prints. */
  readonly name: string;
  /** Arguments of this same command line. */
  readonly args: readonly string[];
  /** Options of the runtime, such as the heap's. */
  readonly execArgv?: readonly string[];
  /** Whether everything ends when it cannot start; any other is tried again for ever beside the others. */
  readonly endsAll: boolean;
  /** Without progress for this long it counts as hung: it is killed and started again. */
  readonly progressWithinMs: number;
  /** Printed when it cannot start before something is repaired: what works without it, and what does not. */
  readonly whenDown?: string;
};

export type Supervision = {
  /** Resolves with the exit code of the whole: 0 after `stop`. */
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
): Supervision => new Supervisor(entry, say, onReady).startAll(members);

class Supervisor {
  private readonly running = new Map<string, ChildProcess>();
  private readonly timers = new Set<NodeJS.Timeout>();
  private stopping: { code: number } | undefined;
  private finish: (code: number) => void = () => {};
  private readonly ended = new Promise<number>((resolve) => {
    this.finish = resolve;
  });
  private readonly entry: string;
  private readonly say: (line: string) => void;
  private readonly onReady: (name: string, detail: ReadyDetail) => void;

  constructor(entry: string, say: Supervisor['say'], onReady: Supervisor['onReady']) {
    this.entry = entry;
    this.say = say;
    this.onReady = onReady;
  }

  startAll(members: readonly Member[]): Supervision {
    let started = 0;
    const startFrom = (index: number): void => {
      const member = members[index];
      if (!member || this.stopping || index < started) return;
      started = index + 1;
      this.start(member, freshRestartState, () => startFrom(index + 1));
    };
    startFrom(0);
    return { ended: this.ended, stop: () => this.stopAll(0) };
  }

  private start(member: Member, state: RestartState, firstReady: () => void): void {
    let current = state;
    const startedMs = performance.now();
    const restart = (how: string, exitCode: number | null): void => {
      const ranMs = performance.now() - startedMs;
      this.restart(member, how, current, { exitCode, ranMs }, firstReady);
    };
    const child = begin(this.entry, member);
    // No memory or no file for a new process at this moment: that passes, and must not be the end of the guard.
    if (child instanceof Error) {
      restart(`could not be started (${child.message})`, null);
      return;
    }
    this.running.set(member.name, child);
    const watchdog = watchProgress(member, () => {
      this.say(`${member.name} hangs: no progress for ${member.progressWithinMs / 1000} s; it is killed.`);
      // The only signal that a stopped process takes.
      child.kill('SIGKILL');
    });
    child.on('message', (message) => {
      if (!isMemberMessage(message)) return;
      if (message.kind === 'progress') return watchdog.progress(message.count);
      watchdog.ready();
      firstReady();
      current = { ...current, everReady: true };
      this.onReady(member.name, message.detail);
    });
    const over = (how: string, exitCode: number | null): void => {
      watchdog.stop();
      this.running.delete(member.name);
      if (!this.stopping) restart(how, exitCode);
      else if (this.running.size === 0) this.finish(this.stopping.code);
    };
    child.on('error', (error) => {
      // One that was never started does not exit either.
      if (child.pid === undefined) over(`could not be started (${error.message})`, null);
      else this.say(`${member.name}: ${error.message}`);
    });
    child.on('exit', (exitCode, signal) =>
      over(signal ? `ended by ${signal}` : `ended with exit code ${exitCode}`, exitCode),
    );
  }

  private restart(member: Member, how: string, state: RestartState, end: End, firstReady: () => void): void {
    const decision = afterEnd(state, end, member.endsAll);
    if (decision.kind === 'end-all') {
      this.say(`${member.name} ${how}: ${decision.why}.`);
      this.stopAll(end.exitCode || 3);
      return;
    }
    firstReady();
    const { needsRepair, afterMs } = decision;
    const next = `starting it again${afterMs ? ` in ${afterMs / 1000} s` : ''}.`;
    this.say(
      needsRepair === undefined
        ? `${member.name} ${how}; ${next}`
        : `${member.name} ${how}: ${needsRepair}. ${member.whenDown ?? ''} Repair what it says above; ${next}`,
    );
    const timer = setTimeout(() => {
      this.timers.delete(timer);
      this.start(member, decision.state, firstReady);
    }, afterMs);
    this.timers.add(timer);
  }

  private stopAll(code: number): void {
    this.stopping ??= { code };
    for (const timer of this.timers) clearTimeout(timer);
    if (this.running.size === 0) this.finish(this.stopping.code);
    for (const child of this.running.values()) {
      child.kill('SIGTERM');
      setTimeout(() => child.kill('SIGKILL'), stopGraceMs).unref();
    }
  }
}

/** The process, or why the system cannot start one now. */
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

/** A slow computer with a large store may need this long to start. */
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
