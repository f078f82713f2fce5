import { type ChildProcess, fork } from 'node:child_process';
import { afterEnd, freshRestartState, type RestartState } from './restart-policy.js';

export type Member = {
  /** Stands before each line it says. */
  readonly name: string;
  /** Arguments of this same command line. */
  readonly args: readonly string[];
  /** Whether all ends with it when it cannot come up; what is not vital is tried again for ever beside the others. */
  readonly vital: boolean;
  /** Said when it is down until somebody mends something: what goes on without it, and what does not. */
  readonly whenDown?: string;
};

/** Sent by a command to the process that started it, once it does its work. */
export type ReadyMessage = { readonly kind: 'ready'; readonly detail: Readonly<Record<string, unknown>> };

const isReady = (message: unknown): message is ReadyMessage =>
  typeof message === 'object' && message !== null && 'kind' in message && message.kind === 'ready';

/** Told by every long-running command when it does its work; without a supervisor nobody listens. */
export const sayReady = (detail: ReadyMessage['detail'] = {}): void => {
  if (process.connected) process.send?.({ kind: 'ready', detail } satisfies ReadyMessage);
};

export type Crew = {
  /** Resolves with the exit code that the whole should end with: 0 after a wished stop. */
  readonly ended: Promise<number>;
  stop(): void;
};

/** Grace between SIGTERM and SIGKILL when stopping. */
const stopGraceMs = 5000;

/**
 * Starts the members one after another, each when the one before is ready, and restarts any that ends.
 * A vital member that never came up, or was asked wrongly, ends the whole with that member's exit code; no other can.
 */
export const supervise = (
  entry: string,
  members: readonly Member[],
  say: (line: string) => void,
  onReady: (name: string, detail: ReadyMessage['detail']) => void,
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
    const child = fork(entry, member.args, { stdio: ['ignore', 'inherit', 'inherit', 'ipc'] });
    running.set(member.name, child);
    child.on('message', (message) => {
      if (!isReady(message)) return;
      if (!current.everReady) firstReady();
      current = { ...current, everReady: true };
      onReady(member.name, message.detail);
    });
    child.on('error', (error) => say(`${member.name}: ${error.message}`));
    child.on('exit', (code, signal) => {
      running.delete(member.name);
      if (stopping) {
        if (running.size === 0) finish(stopping.code);
        return;
      }
      const decision = afterEnd(current, code, performance.now(), member.vital);
      const how = signal ? `ended by ${signal}` : `ended with exit code ${code}`;
      if (decision.kind === 'give-up') {
        say(`${member.name} ${how}: ${decision.why}.`);
        return stopAll(code || 3);
      }
      const again = `starting it again${decision.afterMs ? ` in ${decision.afterMs / 1000} s` : ''}.`;
      const { needsMending } = decision;
      say(
        needsMending === undefined
          ? `${member.name} ${how}; ${again}`
          : `${member.name} ${how}: ${needsMending}. ${member.whenDown ?? ''} Mend what it says above; ${again}`,
      );
      const timer = setTimeout(() => {
        timers.delete(timer);
        start(member, decision.state, firstReady);
      }, decision.afterMs);
      timers.add(timer);
    });
  };

  const startFrom = (index: number): void => {
    const member = members[index];
    if (member && !stopping) start(member, freshRestartState, () => startFrom(index + 1));
  };
  startFrom(0);
  return { ended, stop: () => stopAll(0) };
};
