import type { AlertNow } from '../../serve/now.js';
import { evidenceIn } from '../../wording/evidence.js';
import { inReader, unitSign } from '../look/degrees.js';
import { spanText } from '../look/moments.js';

type Named = readonly [name: string, text: string];

const named = (numbers: Readonly<Record<string, number>>): readonly Named[] =>
  Object.entries(numbers).map(([name, value]) => {
    const [words, text] = evidenceIn(inReader(), unitSign(), name, value);
    return [words, text.replace('-', '−')];
  });

/** The alert's justification in numbers, on request: what was seen beside what raises it, which often bear one name. */
export const Evidence = ({ evidence, rule }: Pick<AlertNow, 'evidence' | 'rule'>) => {
  const left: readonly Named[] =
    evidence.roomS === undefined ? [] : [['time left at that rate', spanText(evidence.roomS)]];
  return (
    <div class="evidence">
      <Column title="Seen when it was raised" named={[...named(evidence.values), ...left]} />
      <Column title="Raised by" named={[['rule', rule], ...named(evidence.thresholds)]} />
    </div>
  );
};

const Column = ({ title, named }: { readonly title: string; readonly named: readonly Named[] }) => (
  <section>
    <p>{title}</p>
    <dl>
      {named.map(([name, text]) => (
        <div key={name}>
          <dt>{name}</dt>
          <dd>{text}</dd>
        </div>
      ))}
    </dl>
  </section>
);
