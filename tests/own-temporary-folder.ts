import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { basename, join } from 'node:path';

const prefix = 'elbowroom-tests-';

/**
 * Every folder that a run's tests make is in one of its own, which is removed at the end of the run. Several lanes in one
 * process share it: nested ones make paths too long for a socket.
 */
export default function ownTemporaryFolder(): (() => void) | undefined {
  if (basename(tmpdir()).startsWith(prefix)) return undefined;
  const folder = mkdtempSync(join(tmpdir(), prefix));
  process.env.TMPDIR = folder;
  return () => rmSync(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
}
