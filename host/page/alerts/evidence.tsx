import type { AlertNow } from '../../serve/now.js';
import { degreesText, spanDegrees, unitSign } from '../look/degrees.js';
import { spanText } from '../look/moments.js';

/** `raiseAtC` reads "raise at" with degrees: names carry their units, so a person can be told both. */
const told = (name: string, value: number): readonly [string, string] => {
  const words = (bare: string) => bare.replace(/([a-z0-9])([A-Z])/g, '$1 $2').toLowerCase();
  if (/CPerS$/.test(name))
    return [words(name.slice(0, -5)), `${spanDegrees(value, 2)} ${unitSign()} a second`];
  if (/(rise|room|residual|difference|over\w*)C$/i.test(name))
    return [words(name.slice(0, -1)), `${spanDegrees(value, 1)} ${unitSign()}`];
  if (/C$/.test(name)) return [words(name.slice(0, -1)), degreesText(value)];
  if (/S$/.test(name)) return [words(name.slice(0, -1)), `${Number(value.toFixed(1))} s`];
  return [words(name), String(Number(value.toPrecision(4)))];
};

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
