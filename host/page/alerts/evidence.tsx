import { evidenceIn } from '../../in-words/evidence.js';
import type { AlertNow } from '../../serve/now.js';
import { inReader, unitSign } from '../look/degrees.js';
import { spanText } from '../look/moments.js';

const told = (name: string, value: number) =>
  evidenceIn(inReader(), unitSign(), name, value).map((text) => text.replace('-', '−'));

/** The alert's justification in numbers, on request. */
export const Evidence = ({ evidence, rule }: Pick<AlertNow, 'evidence' | 'rule'>) => {
  const values = Object.entries(evidence.values).map(([name, value]) => told(name, value));
  const thresholds = Object.entries(evidence.thresholds).map(([name, value]) => told(name, value));
  return (
    <dl>
      <dt>rule</dt>
      <dd>{rule}</dd>
      {[...values, ...thresholds].map(([name, text]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{text}</dd>
        </div>
      ))}
      {evidence.roomS !== undefined && (
        <div>
          <dt>time left at that rate</dt>
          <dd>{spanText(evidence.roomS)}</dd>
        </div>
      )}
    </dl>
  );
};
