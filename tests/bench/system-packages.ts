import { spawnSync } from 'node:child_process';

/** Programs that the bench tests run for real, and the Debian package that brings each. */
const needed = [
  { program: 'chromium', debianPackage: 'chromium' },
  { program: 'socat', debianPackage: 'socat' },
  { program: 'victoria-metrics', debianPackage: 'victoria-metrics' },
] as const;

const succeeds = (command: string, ...args: string[]): boolean =>
  spawnSync(command, args, { stdio: 'ignore' }).status === 0;

const isHere = (program: string): boolean => succeeds('sh', '-c', `command -v ${program}`);

/** Installs what is missing where that needs no password; otherwise stops at once with the line to type. */
export default function installWhatIsMissing(): void {
  const missing = needed.filter(({ program }) => !isHere(program)).map(({ debianPackage }) => debianPackage);
  if (missing.length === 0) return;
  const line = `apt-get update && apt-get install -y --no-install-recommends ${missing.join(' ')}`;
  const asRoot = process.getuid?.() === 0;
  if (asRoot || succeeds('sudo', '-n', 'true')) {
    console.log(`Installing for the bench tests: ${missing.join(' ')}`);
    const [command, ...args] = asRoot ? ['sh', '-c', line] : ['sudo', '-n', 'sh', '-c', line];
    const run = spawnSync(command as string, args, { stdio: 'inherit' });
    if (run.status === 0) return;
  }
  throw new Error(`The bench tests need ${missing.join(', ')}. Type: sudo sh -c '${line}'`);
}
