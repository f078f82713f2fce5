import { once } from 'node:events';

/**
 * Keeps a command alive until it gets a signal to stop (SIGTERM, SIGINT), then runs `close` and returns.
 * With `exitWithParent` it also stops when the process that started it is gone, so that nothing is left holding a port.
 * With `withinMs` it ends by then, whatever `close` still waits for.
 *
 * A rejection that nothing handles ends the process with code 1, as the runtime does by itself, and is not caught on purpose:
 * what it left half done (a port that is never opened again) is unknown. The heartbeat stops, the missing-pulse circuit sounds,
 * and the supervisor or systemd starts the process again, at once the first time.
 */
export const stayUntilStopped = async (
  close: () => Promise<void>,
  exitWithParent: boolean,
  withinMs?: number,
): Promise<void> => {
  const stops = [once(process, 'SIGTERM'), once(process, 'SIGINT')];
  if (exitWithParent && process.connected) stops.push(once(process, 'disconnect'));
  await Promise.race(stops);
  if (withinMs !== undefined) setTimeout(() => process.kill(process.pid, 'SIGKILL'), withinMs).unref();
  await close();
  if (process.connected) process.disconnect();
};
