import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** Every folder that a run's tests make lies in one of its own, which is removed at the end of the run. */
export default function ownTemporaryFolder(): () => void {
  const folder = mkdtempSync(join(tmpdir(), 'elbowroom-tests-'));
  process.env.TMPDIR = folder;
  return () => rmSync(folder, { recursive: true, force: true, maxRetries: 5, retryDelay: 200 });
}
