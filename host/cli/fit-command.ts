import {
  fitBeta3,
  fitPolynomial,
  fitSteinhartHart,
  fitTwoPoints,
  type NamedFit,
  studentFactor95,
} from '../../calibration/index.js';
import { numberFrom, refusing } from './convert/numbers.js';
import { defineCommand } from './define-command.js';
import { UsageError } from './exit.js';
import { parsePoints, readTextFrom } from './points-file.js';
import { summaries } from './summaries.js';
import { jsonOption, textOption } from './usual-options.js';

type Prediction = Readonly<Record<string, number | null>>;
type Fit = NamedFit & { readonly predict: (at: number) => Prediction };
type FitOptions = {
  readonly points: string;
  readonly model: (typeof models)[number];
  readonly terms: number;
  readonly degree: number;
  readonly origin: string;
  readonly start?: string | undefined;
};

const models = ['line', 'polynomial', 'thermistor', 'steinhart-hart', 'beta3'] as const;

const thermistorColumns = { needed: ['temperatureC', 'resistanceOhms'], optional: ['u'] } as const;

export const fitCommand = defineCommand({
  ...summaries.fit,
  when: 'For a probe whose law is not on its datasheet, or points that were measured elsewhere.',
  builder: (yargs) =>
    yargs
      .options({
        points: {
          ...textOption(
            'CSV file, - for stdin. Columns x,y[,u], or temperatureC,resistanceOhms[,u] for a thermistor',
          ),
          demandOption: true,
        },
        model: {
          choices: models,
          demandOption: true,
          describe:
            'thermistor takes two points with the curvature of published materials, or three terms of Steinhart and Hart; beta3 is b1 exp(b2/(T + b3))',
        },
        terms: { choices: [3, 4] as const, default: 3, describe: 'Terms of steinhart-hart' },
        degree: { type: 'number', requiresArg: true, default: 2, describe: 'Degree of polynomial' },
        origin: { ...textOption('x0 of line and polynomial: y = a + b (x - x0)'), default: '0' },
        start: textOption('b1,b2,b3 to start beta3 from; found when absent'),
        at: {
          ...textOption(
            'Predict here: x, C for beta3, ohms for the other thermistor models; repeat for more',
          ),
          array: true,
        },
        ...jsonOption,
      })
      .example('$0 fit --points load-cell.csv --model line --at 30 --json', 'A straight line'),
  handler: async (options) => {
    const csv = await readTextFrom(options.points);
    const file = options.points === '-' ? 'stdin' : options.points;
    const at = (options.at ?? []).map((value) => numberFrom(value, '--at'));
    const { predict, ...fit } = refusing(file, () => fitFor(options, csv, file));
    const statedUncertainties = fit.degreesOfFreedom === 0 || fit.birgeRatio !== undefined;
    // With stated uncertainties the bell's factor; from the scatter of the points, Student's.
    const factor = studentFactor95(statedUncertainties ? Number.POSITIVE_INFINITY : fit.degreesOfFreedom);
    const predictions = at.map((value) => {
      const { u, ...found } = refusing('--at', () => predict(value));
      return { ...found, u: u ?? null, U95: u == null ? null : factor * u };
    });
    if (options.json) console.log(JSON.stringify({ ...fit, coverageFactor95: factor, predictions }));
    else console.log(forPeople(fit, factor, predictions));
  },
});

function fitFor(options: FitOptions, csv: string, file: string): Fit {
  const origin = numberFrom(options.origin, '--origin');
  switch (options.model) {
    case 'line':
    case 'polynomial': {
      const degree = options.model === 'line' ? 1 : options.degree;
      if (!Number.isInteger(degree) || degree < 0 || degree > 12)
        throw new UsageError(`--degree ${degree}: give a whole number from 0 to 12.`);
      return fitPolynomial(parsePoints(csv, file, { needed: ['x', 'y'], optional: ['u'] }), degree, origin);
    }
    case 'steinhart-hart':
      return withoutLaw(
        fitSteinhartHart(parsePoints(csv, file, thermistorColumns), options.terms === 4 ? 4 : 3),
      );
    case 'thermistor': {
      const points = parsePoints(csv, file, thermistorColumns);
      return withoutLaw(points.length < 3 ? fitTwoPoints(points) : fitSteinhartHart(points, 3));
    }
    case 'beta3':
      return fitBeta3(parsePoints(csv, file, thermistorColumns), startFrom(options.start));
  }
}

function withoutLaw({ law: _, ...fit }: ReturnType<typeof fitSteinhartHart>): Fit {
  return fit;
}

function startFrom(text: string | undefined): Parameters<typeof fitBeta3>[1] {
  if (text === undefined) return undefined;
  const [b1, b2, b3, ...more] = text.split(',').map((part) => numberFrom(part, '--start'));
  if (b1 === undefined || b2 === undefined || b3 === undefined || more.length > 0 || b1 <= 0)
    throw new UsageError('--start takes b1,b2,b3 with b1 above zero.');
  return { b1, b2, b3 };
}

function forPeople(fit: NamedFit, factor: number, predictions: readonly Prediction[]): string {
  const lines = [`${fit.model}, ${fit.points} points, ${fit.degreesOfFreedom} to spare`];
  for (const [name, value] of Object.entries(fit.parameters))
    lines.push(`  ${name.padEnd(10)} ${value}${uncertaintyText(fit.standardUncertainties[name], factor)}`);
  if (fit.correlation !== undefined) lines.push(`  correlation ${fit.correlation ?? 'unknown'}`);
  if (Object.values(fit.standardUncertainties).some((u) => u !== null))
    lines.push(
      `  factor for 95 % ${factor.toFixed(3)} (Student's t where the scatter of the points says how good they are)`,
    );
  lines.push(
    `  residual standard deviation ${fit.residualStandardDeviation ?? 'unknown: no points to spare'}`,
  );
  for (const prediction of predictions)
    lines.push(
      `  at ${Object.entries(prediction)
        .map(([name, value]) => `${name} ${value ?? 'unknown'}`)
        .join(', ')}`,
    );
  return lines.join('\n');
}

const uncertaintyText = (u: number | null | undefined, factor: number): string =>
  u === undefined ? '' : u === null ? '  +- unknown' : `  +- ${u}  (95 %: +- ${(factor * u).toPrecision(3)})`;
