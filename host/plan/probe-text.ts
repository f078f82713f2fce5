import { guardBandC, usualLateChance } from '../../calibration/index.js';
import { type Degrees, pointText, readable } from '../wording/degrees.js';
import { folded } from '../wording/fold.js';
import { fittedTable } from '../wording/table.js';
import type { NtcPlan, PlannedProbe, ThermocouplePlan } from './plan.js';
import { ohmsText } from './sketch/value-text.js';

/** Whom a plan is written for: the degrees they read, and the columns that fit. */
export type Sheet = { readonly degrees: Degrees; readonly width: number };

/** The first column names what the numbers beside it are of. */
export const numberTable = (rows: readonly (readonly string[])[], { width }: Sheet): readonly string[] =>
  fittedTable(rows, { width, left: (column) => column === 0, indent: '  ' });

/** A place on the scale as short as it was given: `75`, `64.4`. */
export const place = (degrees: Degrees, temperatureC: number): string =>
  String(Number(degrees.point(temperatureC).toFixed(1)));

/** One probe: where it is connected, and how well it reads at each temperature. */
export const probeText = (probe: PlannedProbe, sheet: Sheet): string => {
  const [fast, slow] = probe.timeConstantS;
  return [
    ...folded(
      `${probe.name} (${probe.id}): ${whereText(probe)}, ${mountedAs[probe.mounting]}, lags a steady rise by ${fast} to ${slow} s`,
      sheet.width,
    ),
    ...(probe.plan.kind === 'ntc'
      ? ntcText(probe, probe.plan, sheet)
      : thermocoupleText(probe, probe.plan, sheet)),
  ].join('\n');
};

const mountedAs = { 'strap-on': 'ring on the metal', well: 'in a well', free: 'free' } as const;

const marked = (probe: PlannedProbe, temperatureC: number) => {
  if (temperatureC === probe.alarmAtC) return ' alarm';
  if (temperatureC === probe.warnAtC) return ' warning';
  return temperatureC === probe.bestAtC ? ' best here' : '';
};

const ntcText = (probe: PlannedProbe, plan: NtcPlan, sheet: Sheet): readonly string[] => {
  const { degrees, width } = sheet;
  const { letter } = degrees;
  const off = (spanC: number, digits = 2) => degrees.span(spanC).toFixed(digits);
  return [
    ...folded(resistorWords(probe, plan, degrees), width, '  '),
    ...folded(`converter: ${plan.converter.chosen}: ${readable(degrees, plan.converter.why)}`, width, '  '),
    ...numberTable(
      [
        [
          `at ${letter}`,
          'ohms',
          'counts',
          `counts per ${letter}`,
          `${letter} per count`,
          'own heat',
          'lead',
          'supply',
          'u new',
          'u calibrated',
        ],
        ...plan.points.map((p) => [
          `${place(degrees, p.temperatureC)}${marked(probe, p.temperatureC)}`,
          p.ohms.toFixed(0),
          p.counts.toFixed(1),
          (p.countsPerC / degrees.span(1)).toFixed(1),
          off(p.cPerCount),
          off(p.selfHeatingC),
          off(p.leadErrorC, 3),
          off(p.supplyErrorC, 0),
          off(p.asBoughtUncertaintyC),
          off(p.calibratedUncertaintyC),
        ]),
      ],
      sheet,
    ),
    ...guardText(probe, plan, sheet),
  ];
};

const resistorWords = (probe: PlannedProbe, { choice, element }: NtcPlan, degrees: Degrees): string =>
  `divider resistor ${ohmsText(choice.resistorOhms)}, ${element} to ground: least uncertain at ${place(degrees, probe.bestAtC)} ${degrees.letter}` +
  (choice.heldByRange ? ', held back to keep the range off the rails' : '') +
  (choice.mostCountsOhms === choice.resistorOhms
    ? ''
    : ` (${ohmsText(choice.mostCountsOhms)} gives the most counts and heats more)`);

/** Where to set the alarm so that it is heard before its temperature is passed, new and calibrated. */
const guardText = (probe: PlannedProbe, plan: NtcPlan, { degrees, width }: Sheet): readonly string[] => {
  const alarm = plan.points.find((p) => p.temperatureC === probe.alarmAtC);
  if (!alarm) return [];
  const at = (u: number) => pointText(degrees, alarm.temperatureC - guardBandC(u));
  return folded(
    `guard band: to be warned before ${pointText(degrees, alarm.temperatureC, 0)}, set the alarm to ${at(alarm.calibratedUncertaintyC)} calibrated, ${at(alarm.asBoughtUncertaintyC)} new (late in at most ${100 * usualLateChance} of 100 cases)`,
    width,
    '  ',
  );
};

const thermocoupleText = (probe: PlannedProbe, plan: ThermocouplePlan, sheet: Sheet): readonly string[] => {
  const { degrees } = sheet;
  const { letter } = degrees;
  const off = (spanC: number, digits = 2) => degrees.span(spanC).toFixed(digits);
  return numberTable(
    [
      [
        `at ${letter}`,
        'mV',
        `${letter} per count`,
        'wire class',
        'cold junction',
        'amplifier',
        'supply',
        'u new',
      ],
      ...plan.points.map((p) => [
        `${place(degrees, p.temperatureC)}${marked(probe, p.temperatureC)}`,
        (p.emfMicrovolts / 1000).toFixed(3),
        off(p.cPerCount),
        `±${off(p.wireLimitC, 1)}`,
        `±${off(p.coldJunctionLimitC, 1)}`,
        `±${off(p.amplifierLimitC, 1)}`,
        `±${off(p.supplyLimitC, 1)}`,
        off(p.uncertaintyC, 1),
      ]),
    ],
    sheet,
  );
};

const whereText = ({ connection, kind }: PlannedProbe): string => {
  if (connection.over === 'pin') return `pin ${connection.pin}`;
  const address = `0x${connection.address.toString(16)}`;
  if (connection.over === 'mcp9601') return `MCP9601 at ${address}`;
  const input = `${connection.input} of the ADS1115 at ${address}`;
  // Only a divider is measured against the supply.
  return kind === 'ntc' ? `${input}, its supply on ${connection.supplyInput}` : input;
};
