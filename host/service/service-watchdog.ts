import { execFile } from 'node:child_process';

/**
 * Gives systemd a sign of life while this process works, where systemd asks for one (sd_watchdog_enabled(3)); three times
 * in each period. A process that hangs gives none and is started again.
 */
export const startServiceWatchdog = (): void => {
  const { WATCHDOG_USEC, NOTIFY_SOCKET } = process.env;
  const periodMs = Number(WATCHDOG_USEC) / 1000;
  if (NOTIFY_SOCKET === undefined || !(periodMs > 0)) return;
  const timer = setInterval(() => {
    // A sign that cannot be given is a missing sign, and systemd acts on that.
    execFile('systemd-notify', ['WATCHDOG=1'], { timeout: periodMs / 3 }, () => {});
  }, periodMs / 3);
  timer.unref();
};
