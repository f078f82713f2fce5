import { mkdir, open, readdir, readFile, unlink } from 'node:fs/promises';
import { dirname, join, resolve } from 'node:path';
import writeFileAtomic from 'write-file-atomic';
import { type Certificate, certificateName, parseCertificate } from '../../calibration/index.js';
import type { Kit } from '../../node/index.js';

/** The next free number for a probe's certificate in a folder, 1 when there is none. */
export async function nextIssue(folder: string, probe: string): Promise<number> {
  const names = await readdir(folder).catch(() => [] as string[]);
  const issues = names.flatMap((name) => {
    const match = /^(.+)@(\d+)\.json$/.exec(name);
    return match?.[1] === probe ? [Number(match[2])] : [];
  });
  return Math.max(0, ...issues) + 1;
}

/** Reads and checks a certificate. Throws the file system's error, or `ThermometryError` naming the field. */
export async function readCertificate(path: string): Promise<Certificate> {
  return parseCertificate(await readFile(path, 'utf8'), path);
}

/** Certificates that the kit names now; one that cannot be read is only not shown. */
export async function certificatesInForce(
  probes: Kit['probes'],
  kitFolder: string,
): Promise<Readonly<Record<string, Certificate>>> {
  const found = await Promise.all(
    probes.map(async ({ id, certificate }) => {
      if (certificate === undefined) return [];
      const read = await readCertificate(resolve(kitFolder, certificate)).catch(() => undefined);
      return read ? [[id, read] as const] : [];
    }),
  );
  return Object.fromEntries(found.flat());
}

/** Every readable certificate in the folder of one, for the history of a probe. A damaged one is passed over. */
export async function certificatesBeside(path: string): Promise<readonly Certificate[]> {
  const folder = dirname(path);
  const names = (await readdir(folder)).filter((name) => /@\d+\.json$/.test(name));
  const read = await Promise.all(
    names.map((name) => readCertificate(join(folder, name)).catch(() => undefined)),
  );
  return read.flatMap((certificate) => certificate ?? []);
}

/**
 * Writes a certificate and what goes beside it (`.txt`, `.svg`), and gives the path. An existing file is never touched:
 * throws EEXIST. Nothing half-written is left: each file is made whole under another name first.
 */
export async function writeCertificate(
  folder: string,
  certificate: Certificate,
  beside: Readonly<Record<string, string>>,
): Promise<string> {
  await mkdir(folder, { recursive: true });
  const base = join(folder, certificateName(certificate));
  const path = `${base}.json`;
  // Reserves the number: fails when another session has just taken it.
  const reserved = await open(path, 'wx');
  await reserved.close();
  try {
    await writeFileAtomic(path, `${JSON.stringify(certificate, null, 1)}\n`);
  } catch (error) {
    await unlink(path).catch(() => undefined);
    throw error;
  }
  for (const [ending, text] of Object.entries(beside)) await writeFileAtomic(`${base}.${ending}`, text);
  return path;
}
