import type { ProbeLook, WiringLook } from '../../node/index.js';
import { type Degrees, readable } from '../wording/degrees.js';
import { folded } from '../wording/fold.js';
import { fittedTable } from '../wording/table.js';

/** What the analogue pin on a known voltage says of the link. */
const referenceWords = { well: 'good', off: 'off', silent: 'no reading', none: 'not fitted' } as const;

type Column = readonly [title: string, cell: (look: ProbeLook) => string];

const fixed = (
  value: number | undefined,
  digits: number,
  toReader: (value: number) => number = (same) => same,
): string => (value === undefined ? '' : toReader(value).toFixed(digits));

/** The chain from left to right, as the signal travels. */
const columnsIn = ({ letter, point, span }: Degrees): readonly Column[] => [
  ['probe', ({ probe }) => probe],
  ['input', ({ input }) => input],
  [
    'counts',
    ({ counts, fullScale }) => (counts === undefined ? '' : `${counts.toFixed(1)}/${fullScale?.toFixed(0)}`),
  ],
  ['volts', ({ volts }) => fixed(volts, 3)],
  ['ohm', ({ ohms }) => fixed(ohms, 0)],
  ['uV', ({ microvolts }) => fixed(microvolts, 0)],
  ['cold jn', ({ coldJunctionC }) => fixed(coldJunctionC, 1, point)],
  [letter, ({ temperatureC }) => fixed(temperatureC, 2, point)],
  ['± (k=1)', ({ uncertaintyC }) => fixed(uncertaintyC, 2, span)],
  [`noise ${letter}`, ({ noiseC }) => fixed(noiseC, 3, span)],
  ['per s', ({ readingsPerS }) => fixed(readingsPerS, 1)],
  ['doubtful', ({ counted }) => `${counted.doubtful}`],
  ['missing', ({ counted }) => `${counted.missing}`],
  ['quality', ({ quality }) => quality],
];

/** The look as a table for a terminal, then each fault with what to check. */
export const wiringText = (
  look: WiringLook,
  { colour, degrees, width }: { readonly colour: boolean; readonly degrees: Degrees; readonly width: number },
): string => {
  const columns = columnsIn(degrees);
  const rows = [
    columns.map(([title]) => title),
    ...look.probes.map((p) => columns.map(([, cell]) => cell(p))),
  ];
  const left = (i: number) => i < 2 || i === columns.length - 1;
  const running = look.engines.map(({ id, name }) => `${name} ${runs(look.running[id])}`);
  const buzzer = look.buzzerMilliamps === undefined ? '' : `; buzzer ${look.buzzerMilliamps.toFixed(1)} mA`;
  const bold = (text: string) => (colour ? `\x1b[1m${text}\x1b[0m` : text);
  return [
    ...folded(`${look.board.state}: ${look.board.detail}`, width, 'board    '),
    ...folded(
      `${running.join(', ')}; reference pin ${referenceWords[look.referencePin]}${buzzer}`,
      width,
      'running  ',
    ),
    '',
    ...fittedTable(rows, { width, left }),
    '',
    ...faultLines(look, { degrees, width, bold }),
  ].join('\n');
};

const runs = (running: boolean | undefined): string =>
  running === undefined ? 'not known' : running ? 'runs' : 'stopped';

type FaultStyle = {
  readonly degrees: Degrees;
  readonly width: number;
  readonly bold: (text: string) => string;
};

const faultLines = (look: WiringLook, { degrees, width, bold }: FaultStyle): readonly string[] => {
  const named = namedFaults(look);
  if (named.length === 0) return ['No fault found.'];
  return named.flatMap(({ where, fault }) => [
    bold(`FAULT ${where}: ${fault.fault}`),
    ...folded(readable(degrees, fault.message), width, '  '),
    ...folded(`What to do: ${fault.check}`, width, '  '),
  ]);
};

/** Every fault with where it is. While the board is disconnected that is the one fault: its probes only wait for it. */
const namedFaults = ({ board, faults, probes }: WiringLook) => [
  ...faults.map((fault) => ({ where: 'board', fault })),
  ...probes.flatMap(({ probe, faults: ofProbe }) =>
    ofProbe
      .filter(({ fault }) => fault !== 'board-away' || board.state === 'connected')
      .map((fault) => ({ where: probe, fault })),
  ),
];

export const faultCount = (look: WiringLook): number => namedFaults(look).length;
