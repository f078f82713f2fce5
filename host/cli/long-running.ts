import { once } from 'node:events';

/**
 * Keeps a command alive until it gets a signal to stop (SIGTERM, SIGINT), then runs `close` and returns.
 * With `exitWithParent` it also stops when the process that started it is gone, so that nothing is left holding a port.
 * With `withinMs` it ends by then, whatever `close` still waits for.
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
