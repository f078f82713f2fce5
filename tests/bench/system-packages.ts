import { spawnSync } from 'node:child_process';
import { mkdirSync } from 'node:fs';
import { bootloaderFiles, unpackedBootloaders } from './bootloaders.js';

/** Programs that the tests run for real, and the Debian package that brings each. A test that needs one more adds it here. */
const programs = {
  chromium: 'chromium',
  socat: 'socat',
  openssl: 'openssl',
  'victoria-metrics': 'victoria-metrics',
  mosquitto: 'mosquitto',
  mosquitto_sub: 'mosquitto-clients',
  prometheus: 'prometheus',
  'systemd-analyze': 'systemd',
  'mkfs.ext4': 'e2fsprogs',
  mount: 'mount',
} as const;
/** The wide font that a page falls back to where its own does not arrive. */
const wideFont = {
  isHere: "fc-list : family | grep -q 'DejaVu Sans'",
  debianPackage: 'fonts-dejavu-core fontconfig',
};

/**
 * Debian's package of the real bootloaders weighs 0.2 MB and needs a compiler of 130 MB beside it,
 * which is not needed here: it is unpacked where the tests look for it, and not installed.
 */
const fetchBootloaders = [
  `cd '${unpackedBootloaders}'`,
  'apt-get download arduino-core-avr',
  'dpkg -x arduino-core-avr_*.deb .',
].join(' && ');

const succeeds = (command: string, ...args: string[]): boolean =>
  spawnSync(command, args, { stdio: 'ignore' }).status === 0;

const isHere = (check: string): boolean => succeeds('sh', '-c', check);

/** Brings what is missing where that needs no password; otherwise stops at once with the line to type. */
export default function installWhatIsMissing(): void {
  const missing = Object.entries(programs)
    .filter(([program]) => !isHere(`command -v ${program}`))
    .map(([, debianPackage]) => debianPackage as string);
  if (!isHere(wideFont.isHere)) missing.push(wideFont.debianPackage);
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
    console.log(`Fetching for the tests: ${what}`);
    const [command, ...args] = isRoot ? ['sh', '-c', line] : ['sudo', '-n', 'sh', '-c', line];
    if (spawnSync(command as string, args, { stdio: 'inherit' }).status === 0) return;
  }
  throw new Error(`The tests need ${what}. Type: sudo sh -c "${line}"`);
}
