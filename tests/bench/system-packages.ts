import { spawnSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { bootloaderFiles, unpackedBootloaders } from './bootloaders.js';

/** Programs that the bench tests run for real, and the Debian package that brings each. */
const needed = [
  { program: 'chromium', debianPackage: 'chromium' },
  { program: 'socat', debianPackage: 'socat' },
  { program: 'openssl', debianPackage: 'openssl' },
  { program: 'victoria-metrics', debianPackage: 'victoria-metrics' },
  { program: 'systemd-analyze', debianPackage: 'systemd' },
  { program: 'mkfs.ext4', debianPackage: 'e2fsprogs' },
  { program: 'mount', debianPackage: 'mount' },
] as const;

/**
 * Debian's package of the real bootloaders weighs 0.2 MB and wants a compiler of 130 MB beside it,
 * which nobody needs here: it is unpacked where the tests look for it, and not installed.
 */
const fetchBootloaders = [
  `cd '${unpackedBootloaders}'`,
  'apt-get download arduino-core-avr',
  'dpkg -x arduino-core-avr_*.deb .',
].join(' && ');

const succeeds = (command: string, ...args: string[]): boolean =>
  spawnSync(command, args, { stdio: 'ignore' }).status === 0;

const isHere = (program: string): boolean => succeeds('sh', '-c', `command -v ${program}`);

/** Brings what is missing where that needs no password; otherwise stops at once with the line to type. */
export default function installWhatIsMissing(): void {
  const missing = needed.filter(({ program }) => !isHere(program)).map(({ debianPackage }) => debianPackage);
  const install = `apt-get install -y --no-install-recommends ${missing.join(' ')}`;
  if (missing.length > 0) asRoot(`apt-get update && ${install}`, missing.join(' '));
  if (bootloaderFiles() !== undefined) return;
  mkdirSync(unpackedBootloaders, { recursive: true });
  // A machine that has never updated its package lists knows no package at all.
  if (!succeeds('sh', '-c', fetchBootloaders))
    asRoot(`apt-get update && ${fetchBootloaders}`, 'arduino-core-avr');
}

function asRoot(line: string, what: string): void {
  const isRoot = process.getuid?.() === 0;
  if (isRoot || succeeds('sudo', '-n', 'true')) {
    console.log(`Fetching for the bench tests: ${what}`);
    const [command, ...args] = isRoot ? ['sh', '-c', line] : ['sudo', '-n', 'sh', '-c', line];
    if (spawnSync(command as string, args, { stdio: 'inherit' }).status === 0) return;
  }
  throw new Error(`The bench tests need ${what}. Type: sudo sh -c "${line}"`);
}
