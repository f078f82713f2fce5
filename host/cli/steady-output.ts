import { isatty } from 'node:tty';

/** What may wait for a terminal that is held (Ctrl-S) or a log that is not read; more is dropped and counted. */
const mostWaitingBytes = 64 * 1024;

/**
 * For commands that run for months: no failure of the terminal or the log can stop or end them. Words are
 * written without waiting, dropped when they pile up, and the end of their reader is not the end of the command.
 * A terminal that closes (SIGHUP) or that is set to stop what writes in the background (SIGTTOU) does not either;
 * `onHangUp` is called at a SIGHUP, which by custom also asks to read the settings again.
 */
export const keepOnWithoutReader = (onHangUp: () => void = () => {}): void => {
  for (const stream of [process.stdout, process.stderr]) steady(stream);
  process.on('exit', endWithoutTerminal);
  process.on('SIGHUP', onHangUp);
  for (const signal of ['SIGTTOU', 'SIGTTIN', 'SIGPIPE'] as const) process.on(signal, () => {});
};

/** The runtime puts a terminal back as it was when it exits, and aborts with a core dump where there is none any more. */
const endWithoutTerminal = (): void => {
  const gone = [process.stdout, process.stderr].some(({ isTTY, fd }) => isTTY && !isatty(fd));
  if (gone) process.kill(process.pid, 'SIGKILL');
};

const steady = (stream: NodeJS.WriteStream): void => {
  stream.removeAllListeners('error');
  stream.on('error', () => {});
  // A terminal is written in the blocking way unless its handle is set otherwise; Ctrl-S would stop the guard.
  (stream as { _handle?: { setBlocking?: (blocking: boolean) => void } })._handle?.setBlocking?.(false);
  const write = stream.write.bind(stream) as (chunk: string | Uint8Array, done?: () => void) => boolean;
  let dropped = 0;
  const guarded = (chunk: string | Uint8Array, encoding?: unknown, done?: unknown): boolean => {
    const written = [encoding, done].find((one) => typeof one === 'function') as (() => void) | undefined;
    if (stream.destroyed || stream.writableLength > mostWaitingBytes) {
      dropped++;
      if (written) queueMicrotask(written);
      return true;
    }
    try {
      if (dropped > 0) write(`(${dropped} lines were not written: the reader was too slow.)\n`);
      dropped = 0;
      write(chunk, written);
    } catch {
      // A full disk, a terminal that is gone: the work matters, not the log.
    }
    return true;
  };
  stream.write = guarded as typeof stream.write;
};
