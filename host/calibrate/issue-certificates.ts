import { dirname, relative } from 'node:path';
import {
  type Certificate,
  certificateName,
  certificatePicture,
  certificateText,
  issueCertificate,
  type Session,
} from '../../calibration/index.js';
import type { Kit } from '../../node/index.js';
import { withCertificates } from '../kit-file/edit-kit.js';
import type { KitKeeper } from '../kit-file/kit-keeper.js';
import { nextIssue, writeCertificate } from './certificate-files.js';

export type Issued = {
  readonly probe: string;
  readonly name?: string;
  readonly path?: string;
  readonly certificate?: Certificate;
  /** Why there is no certificate. */
  readonly refused?: string;
};

/** The end of every session, from the command line and from the page: a certificate for each probe whose points carry one. */
export async function issueAll(
  session: Session,
  folder: string,
  kitProbes: Kit['probes'],
  issuedAt: string,
): Promise<readonly Issued[]> {
  const issued: Issued[] = [];
  for (const [id, { name, sensor, chain }] of Object.entries(session.probes)) {
    const limits = kitProbes.find((p) => p.id === id)?.limits;
    try {
      const certificate = issueCertificate({
        probe: { id, name },
        issue: await nextIssue(folder, id),
        issuedAt,
        sensor,
        chain,
        points: session.points[id] ?? [],
        alsoAtC: [limits?.alarm?.raiseAtC ?? [], limits?.warning?.raiseAtC ?? []].flat(),
      });
      const beside = { txt: certificateText(certificate), svg: certificatePicture(certificate) };
      const path = await writeCertificate(folder, certificate, beside);
      issued.push({ probe: id, name: certificateName(certificate), path, certificate });
    } catch (error) {
      issued.push({ probe: id, refused: error instanceof Error ? error.message : String(error) });
    }
  }
  return issued;
}

export type InKit = {
  /** Where the old kit file is. */
  readonly kitBackup?: string;
  /** Why the kit file does not name the new certificates, though they were issued. */
  readonly kitNotChanged?: string;
};

/** Names the new certificates in the kit file, with a backup beside it. */
export async function nameInKit(issued: readonly Issued[], keeper: KitKeeper): Promise<InKit> {
  const paths = Object.fromEntries(
    issued.flatMap(({ probe, path }) =>
      path === undefined ? [] : [[probe, relative(dirname(keeper.kitPath), path)]],
    ),
  );
  if (!Object.keys(paths).length) return {};
  const saved = await keeper.edit((text) => withCertificates(text, paths));
  if (!saved.ok) return { kitNotChanged: saved.message };
  return saved.backup === undefined ? {} : { kitBackup: saved.backup };
}
