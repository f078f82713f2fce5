import type { CalibrationDue } from '../../engine-health/calibration-due.js';
import { useAsked } from '../link/asked.js';
import { now } from '../link/stream.js';
import { Columns } from '../look/columns.js';
import { spanDegrees, unitSign } from '../look/degrees.js';
import { dayText } from '../look/moments.js';

/** When each probe should next be calibrated, and why then: by the calendar, or sooner because it drifts. */
export const DueList = () => {
  const inUse = now.value?.probes.map((probe) => `${probe.id} ${probe.certificate}`).join() ?? '';
  const { found: due } = useAsked<readonly CalibrationDue[]>('api/calibration-due', { asOf: inUse });
  if (!due.value?.length) return null;
  return (
    <table class="due">
      <caption>Calibration due</caption>
      <Columns of={['Probe', 'Certificate', 'Due', 'Why then']} />
      <tbody>
        {due.value.map((one) => (
          <tr key={one.probe}>
            <th scope="row">{one.name}</th>
            <td>
              {one.certificate ?? 'none'}
              {one.issuedAt !== undefined && ` of ${dayText(one.issuedAt)}`}
            </td>
            <td>{when(one)}</td>
            <td>{why(one)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
};

const when = ({ why: reason, dueAt }: CalibrationDue) => {
  if (dueAt === undefined) return reason === 'never' ? <a href="#calibrate">now</a> : 'not known';
  const late = dueAt <= (now.value?.at ?? 0);
  return late ? <a href="#calibrate">since {dayText(dueAt)}</a> : dayText(dueAt);
};

const why = ({ why: reason, driftWatched, driftKPerYear = 0, allowedK = 0 }: CalibrationDue): string => {
  const drift = `${driftKPerYear > 0 ? '+' : ''}${spanDegrees(driftKPerYear, 1)} ${unitSign()} a year`;
  const allowed = `± ${spanDegrees(allowedK, 1)} ${unitSign()}`;
  switch (reason) {
    case 'never':
      return 'never calibrated: read by the maker’s curve';
    case 'unknown':
      return 'its certificate is not on this computer';
    case 'drift':
      return `brought forward: cold soaks show ${drift} against the others, and the certificate allows ${allowed}`;
    case 'interval':
      return driftKPerYear
        ? `the usual interval; cold soaks show ${drift}, the certificate allows ${allowed}`
        : `the usual interval; ${driftWatched ? 'cold soaks show no drift' : 'too few cold soaks since to see a drift'}`;
  }
};
