import { certificateText, expandedUncertaintyAt, type Session } from '../../calibration/index.js';
import { type Kit, systemClock } from '../../node/index.js';
import { guardLines } from '../calibrate/guard-lines.js';
import { issueAll, nameInKit } from '../calibrate/issue-certificates.js';
import { forgetSession } from '../calibrate/session-file.js';
import { KitKeeper } from '../kit-file/kit-keeper.js';
import { type Degrees, pointText, readable, spanText } from '../wording/degrees.js';
import { BadAnswerError, UnavailableError } from './exit.js';

/**
 * Issues the certificates of a session, names them in the kit, prints them and says what could not be done. Throws
 * `BadAnswerError` when a probe goes without, `UnavailableError` when the kit file could not be changed.
 */
export async function finishCalibration(
  session: Session,
  folder: string,
  kitPath: string,
  kitProbes: Kit['probes'],
  { json, degrees }: { readonly json: boolean; readonly degrees: Degrees },
): Promise<void> {
  const keeper = new KitKeeper({ kitPath, clock: systemClock, log: (words) => console.error(words) });
  const issued = await issueAll(session, folder, kitProbes, new Date(systemClock.wallMs()).toISOString());
  const inKit = await nameInKit(issued, keeper);
  const made = issued.flatMap(({ probe, path, certificate }) =>
    certificate && path !== undefined ? [{ probe, path, certificate }] : [],
  );
  if (json)
    console.log(
      JSON.stringify({
        certificates: made.map(({ probe, path, certificate }) => ({
          probe,
          path,
          residualsC: certificate.residualsC,
          expandedUncertaintyC: Object.fromEntries(
            certificate.budgets.map(({ temperatureC }) => [
              temperatureC,
              expandedUncertaintyAt(certificate, temperatureC),
            ]),
          ),
          ...(certificate.doubts && { doubts: certificate.doubts }),
        })),
        refused: [
          ...session.refusals,
          ...issued.flatMap(({ probe, refused }) => (refused === undefined ? [] : [{ probe, why: refused }])),
        ],
        ...inKit,
      }),
    );
  for (const { probe, certificate } of made) {
    if (!json) console.log(certificateText(certificate));
    const good = certificate.budgets
      .map(
        ({ temperatureC: c }) =>
          `±${spanText(degrees, expandedUncertaintyAt(certificate, c), 2)} at ${pointText(degrees, c, 0)}`,
      )
      .join(', ');
    console.error(`${probe}: good to ${good} (95 %). The certificate itself is in degrees Celsius.`);
    for (const line of guardLines(kitProbes, { [probe]: certificate }, degrees)) console.error(line);
    for (const doubt of certificate.doubts ?? []) console.error(`${probe}: ${readable(degrees, doubt)}`);
  }
  if (inKit.kitBackup !== undefined)
    console.error(`The kit names the new certificates. To undo: copy ${inKit.kitBackup} over ${kitPath}.`);
  if (inKit.kitNotChanged !== undefined)
    console.error(
      `${inKit.kitNotChanged}\nGive each probe its line in the kit:\n${made.map(({ probe, path }) => `  ${probe}: certificate: ${path}`).join('\n')}`,
    );
  if (made.length > 0 || Object.keys(session.points).length === 0) await forgetSession(folder);
  const without = issued.filter(({ path }) => path === undefined);
  if (session.refusals.length > 0 || without.length > 0)
    throw new BadAnswerError(
      [
        'Not every probe has its certificate:',
        ...session.refusals.map((r) => `  ${r.probe}, ${r.bath}: ${readable(degrees, r.why)}`),
        ...without.map((one) => `  No certificate for ${one.probe}: ${readable(degrees, one.refused ?? '')}`),
        ...(made.length === 0 && Object.keys(session.points).length > 0
          ? ['The points are kept. To take the baths again: elbowroom calibrate --fresh']
          : []),
      ].join('\n'),
    );
  if (inKit.kitNotChanged !== undefined) throw new UnavailableError('The kit file was not changed.');
}
