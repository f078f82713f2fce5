import { type Certificate, certificateName } from './certificate.js';

/** The certificate as text: plain text, one screen. */
export function certificateText(certificate: Certificate): string {
  const { probe, issuedAt, points, model, residualsC, validC } = certificate;
  const lines = [
    `Calibration certificate ${certificateName(certificate)}`,
    `${probe.name} (${probe.id}), issued ${issuedAt.slice(0, 16).replace('T', ' ')} UTC`,
    '',
    'Points',
    ...points.map((p, i) => {
      const u = Math.hypot(...p.errors.map((e) => e.standardUncertaintyC));
      const bias = p.errors.reduce((sum, { biasC = 0 }) => sum + biasC, 0);
      const sided = bias === 0 ? '' : ` taken as ${signed(bias)}`;
      const lag = p.lag
        ? `, lag ${signed(p.lag.remainingC)} +-${p.lag.standardUncertaintyC.toFixed(3)} C`
        : '';
      const conditions = Object.entries(p.conditions)
        .map(([name, value]) => `${name} ${Number(value.toFixed(2))}`)
        .join(', ');
      return `  ${p.kind.padEnd(9)} ${fixed(p.temperatureC, 3)} C${sided} +-${u.toFixed(3)} (k = 1)${lag}  ${rawText(p.signal)}  ${p.readings} readings, scatter ${Number(p.scatter.toPrecision(2))}, residual ${signed(residualsC[i] ?? 0)} C  (${conditions})`;
    }),
    ...points.flatMap(({ reference: r }) =>
      r
        ? [
            `  by the thermometer of certificate ${r.certificate} of ${r.calibratedOn}: U ${r.expandedUncertaintyC} C (k = ${r.coverageFactor}), drift up to ${r.driftCPerYear} C a year`,
          ]
        : [],
    ),
    '',
    `Model: ${modelText(model)}`,
    ...certificate.parameters.map(
      (p) => `  ${p.name.padEnd(18)} ${p.value} +- ${p.standardUncertainty.toPrecision(3)}`,
    ),
    '',
    `Uncertainty of one reading (95 %), valid ${validC.from.toFixed(0)} to ${validC.to.toFixed(0)} C`,
    ...thinned(certificate.uncertainty).map(
      (step) =>
        `  ${fixed(step.temperatureC, 0)} C  +-${step.expandedUncertaintyC.toFixed(2)} C   (standard ${step.standardUncertaintyC.toFixed(3)}, factor ${step.coverageFactor.toFixed(2)})`,
    ),
    '',
    'Budget (standard uncertainties, C)',
    ...certificate.budgets.flatMap(({ temperatureC, lines: budget }) => [
      `  at ${temperatureC} C: ${budget
        .filter((line) => line.standardUncertaintyC >= 0.0005)
        .map((line) => `${line.source} ${line.standardUncertaintyC.toFixed(3)}`)
        .join(', ')}`,
    ]),
    '',
    ...(certificate.doubts ?? []).map((doubt) => `Doubt: ${doubt}`),
    certificate.integrity,
  ];
  return `${lines.join('\n')}\n`;
}

function modelText(model: Certificate['model']): string {
  if (model.kind === 'thermocouple')
    return `EMF + ${model.offsetMicrovolts.toFixed(2)} uV + ${(100 * model.gain).toFixed(4)} % of it (${model.fitted})`;
  const shape = model.law && lawText(model.law);
  if (model.kind === 'thermistor') return `${shape} (${model.fitted})`;
  const to = model.fromC + model.stepC * (model.correctionsC.length - 1);
  return `${shape ?? 'the published law of its type'}, less a correction in ${model.correctionsC.length} steps from ${model.fromC} to ${to} C`;
}

const lawText = ({
  a,
  b,
  c,
  d,
  referenceOhms,
}: NonNullable<Extract<Certificate['model'], { kind: 'corrected' }>['law']>): string =>
  `1/T = a + b l + c l^2 + d l^3, l = ln(R / ${referenceOhms.toFixed(2)} ohms), T in kelvin; a ${a}, b ${b}, c ${c}, d ${d}`;

const rawText = ({ raw, rawUnit, coldJunctionC }: Certificate['points'][number]['signal']): string =>
  `${Number(raw.toPrecision(7))} ${rawUnit}${coldJunctionC === undefined ? '' : `, cold junction ${coldJunctionC.toFixed(2)} C`}`;

const fixed = (value: number, decimals: number): string => value.toFixed(decimals).padStart(decimals + 5);
const signed = (value: number): string => `${value < 0 ? '' : '+'}${value.toFixed(3)}`;

/** About a dozen rows of a long curve. */
function thinned<T>(rows: readonly T[]): readonly T[] {
  const step = Math.max(1, Math.round(rows.length / 12));
  return rows.filter((_, i) => i % step === 0 || i === rows.length - 1);
}
