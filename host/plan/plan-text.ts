import { pointText } from '../wording/degrees.js';
import { folded } from '../wording/fold.js';
import { buzzerShuntOhms, shuntMarks } from './buzzer-shunt.js';
import type { Part } from './part.js';
import type { Plan } from './plan.js';
import { gaugeText } from './pressure/planned-gauges.js';
import { numberTable, place, probeText, type Sheet } from './probe-text.js';

const percent = (share: number) => `${(share * 100).toFixed(0)} %`;

/** What the sheet on the workbench says first. */
const cautions =
  "This kit does not replace the engine's own alarms. Diesel engines only: its parts are not ignition-protected. Hot exhaust and its water scald, a leaking exhaust is carbon monoxide, 12 V without a fuse is a fire. Work on a cold engine with the batteries off, drill nothing, keep to local codes, and leave exhaust, fuel and wiring you are not sure of to licensed people. Read hardware-notes/never.md first.";

const boardWords = { uno: 'an Uno', nano: 'a Nano', mega: 'a Mega' } as const;

/** A pass that comes before a chip has converted again finds nothing new there. */
const onChips = ({ probes }: Plan): string =>
  probes.some(({ connection }) => connection.over !== 'pin')
    ? '; what is on a chip of the I2C bus gives a new value 3 to 5 times a second, whatever the passes'
    : '';

/** The plan for a person: every probe, the bus, the pins, how soon the alarm comes, and what to buy. */
export const planText = (plan: Plan, sheet: Sheet): string => {
  const { bus, allocation, missingPulse, answers } = plan;
  const { degrees, width } = sheet;
  const { digital } = allocation;
  const prose = (words: string) => folded(words, width).join('\n');
  const inputs = Object.entries(digital.running).map(([engine, pin]) => `${pin} (${engine})`);
  const running = inputs.length === 0 ? '' : `, running inputs ${inputs.join(', ')}`;
  const reference = allocation.referencePin ? `, reference pin ${allocation.referencePin}` : '';
  const current = allocation.buzzerCurrentPin ? `, buzzer current ${allocation.buzzerCurrentPin}` : '';
  return [
    prose(cautions),
    prose(
      `Kit for ${answers.boat}, on ${boardWords[answers.board]}. Errors are in ${degrees.letter}; u is a standard uncertainty: double it for about 95 %. 'u new' trusts the maker, 'u calibrated' trusts ice and boiling water: near ${pointText(degrees, 25, 0)} a close part can be the surer of the two, at the alarm the calibration is.`,
    ),
    ...plan.probes.map((probe) => probeText(probe, sheet)),
    ...plan.gauges.map((gauge) => gaugeText(gauge, width)),
    prose(
      `Pins: buzzer ${digital.buzzerPin}, lamp ${digital.lampPin}, heartbeat ${digital.heartbeatPin}${running}${reference}${current}`,
    ),
    ...buzzerCurrentText(plan).map(prose),
    prose(
      `Bus: at ${answers.sampleHz} Hz the serial line is ${percent(bus.lineShare)} full and the I2C bus ${percent(bus.i2cShare)}; up to ${bus.fastestSampleHz} passes a second fit${onChips(plan)}`,
    ),
    prose(
      `Missing-pulse circuit: sounds ${missingPulse.nominalS.toFixed(1)} s after the last beat (${missingPulse.shortestS.toFixed(1)} to ${missingPulse.longestS.toFixed(1)} s over ordinary parts)`,
    ),
    ...responseText(plan, sheet),
    ['Parts', ...plan.parts.flatMap((part) => partLines(part, width))].join('\n'),
    ...(plan.remarks.length === 0
      ? []
      : [['Remarks', ...plan.remarks.flatMap((remark) => folded(remark, width, '  - '))].join('\n')]),
  ].join('\n\n');
};

/** The shunt that reads the buzzer's current back, and what it costs. */
const buzzerCurrentText = ({ answers, allocation }: Plan): readonly string[] => {
  if (answers.buzzerMilliamps === undefined || allocation.buzzerCurrentPin === undefined) return [];
  const shuntOhms = buzzerShuntOhms(answers.buzzerMilliamps);
  const { counts, watts } = shuntMarks(answers.buzzerMilliamps, shuntOhms, answers.supplyVolts);
  return [
    `Buzzer current: a shunt of ${shuntOhms} Ω gives ${counts.toFixed(0)} counts at ${answers.buzzerMilliamps} mA and takes ${(watts * 1000).toFixed(0)} mW`,
  ];
};

const partLines = ({ quantity, part, use }: Part, width: number): readonly string[] =>
  folded(`${part} (${use})`, width, `  ${String(quantity).padStart(3)}  `);

const responseText = ({ response, answers }: Plan, sheet: Sheet): readonly string[] => {
  const { degrees, width } = sheet;
  if (response.length === 0) return [];
  const rows = response.map(({ load, strapOnS, wellS, costS }) => [
    load === 'cruise' ? 'at cruise' : 'wide open',
    ...[strapOnS, wellS, costS].map((seconds) => `${seconds.toFixed(0)} s`),
  ]);
  return [
    [
      ...folded(
        `From loss of water to ${place(degrees, answers.wetElbow.limits.alarmAtC)} ${degrees.letter} at the elbow (simulation on an invented boat; yours will differ)`,
        width,
      ),
      ...numberTable([['', 'ring on the metal', 'wetted well', 'the ring costs'], ...rows], sheet),
    ].join('\n'),
  ];
};
