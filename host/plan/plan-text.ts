import { guardBandC, usualLateChance } from '../../calibration/index.js';
import { type Degrees, pointText, readable } from '../wording/degrees.js';
import type { Connection } from './allocate.js';
import type { NtcPlan, Plan, PlannedProbe, ThermocouplePlan } from './plan.js';
import { gaugeText } from './pressure/planned-gauges.js';
import { ohmsText } from './sketch/value-text.js';

const pad = (cell: string, width: number, left: boolean) =>
  left ? cell.padEnd(width) : cell.padStart(width);

/** Columns as wide as their widest cell; the first one is set left, the others right. */
const table = (rows: readonly (readonly string[])[]): string => {
  const widths = (rows[0] ?? []).map((_, column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  return rows
    .map((row) =>
      `  ${row.map((cell, column) => pad(cell, widths[column] ?? 0, column === 0)).join('  ')}`.trimEnd(),
    )
    .join('\n');
};

/** A place on the scale as short as it was given: `75`, `64.4`. */
const place = (degrees: Degrees, temperatureC: number) =>
  String(Number(degrees.point(temperatureC).toFixed(1)));
const marked = (probe: PlannedProbe, temperatureC: number) => {
  if (temperatureC === probe.alarmAtC) return ' alarm';
  if (temperatureC === probe.warnAtC) return ' warning';
  return temperatureC === probe.bestAtC ? ' best here' : '';
};

const ntcText = (probe: PlannedProbe, plan: NtcPlan, degrees: Degrees): string[] => {
  const { letter } = degrees;
  const off = (spanC: number, digits = 2) => degrees.span(spanC).toFixed(digits);
  return [
    `  divider resistor ${ohmsText(plan.choice.resistorOhms)}, thermistor to ground: least uncertain at ${place(degrees, probe.bestAtC)} ${letter}` +
      (plan.choice.heldByRange ? ', held back to keep the range off the rails' : '') +
      (plan.choice.mostCountsOhms === plan.choice.resistorOhms
        ? ''
        : ` (${ohmsText(plan.choice.mostCountsOhms)} gives the most counts and heats more)`),
    `  converter: ${plan.converter.chosen}: ${readable(degrees, plan.converter.why)}`,
    table([
      [
        `at ${letter}`,
        'ohms',
        'counts',
        `counts/${letter}`,
        `${letter}/count`,
        `self-heat ${letter}`,
        `lead ${letter}`,
        `supply ${letter}`,
        `u new ${letter}`,
        `u calibrated ${letter}`,
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
    ]),
    ...guardText(probe, plan, degrees),
  ];
};

/** Where to set the alarm so that it is heard before its temperature is passed, new and calibrated. */
const guardText = (probe: PlannedProbe, plan: NtcPlan, degrees: Degrees): string[] => {
  const alarm = plan.points.find((p) => p.temperatureC === probe.alarmAtC);
  if (!alarm) return [];
  const at = (u: number) => pointText(degrees, alarm.temperatureC - guardBandC(u));
  return [
    `  guard band: where ${pointText(degrees, alarm.temperatureC, 0)} must not be passed unheard, set the alarm to ${at(alarm.calibratedUncertaintyC)} calibrated, ${at(alarm.asBoughtUncertaintyC)} new (late in at most ${100 * usualLateChance} of 100 cases)`,
  ];
};

const thermocoupleText = (probe: PlannedProbe, plan: ThermocouplePlan, degrees: Degrees): string[] => {
  const { letter } = degrees;
  const off = (spanC: number, digits = 2) => degrees.span(spanC).toFixed(digits);
  return [
    table([
      [
        `at ${letter}`,
        'mV',
        `${letter}/count`,
        `wire class ${letter}`,
        `cold junction ${letter}`,
        `amplifier ${letter}`,
        `supply ${letter}`,
        `u new ${letter}`,
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
    ]),
  ];
};

const whereText = (connection: Connection): string => {
  if (connection.over === 'pin') return `pin ${connection.pin}`;
  const address = `0x${connection.address.toString(16)}`;
  if (connection.over === 'mcp9601') return `MCP9601 at ${address}`;
  return `${connection.input} of the ADS1115 at ${address}, its supply on ${connection.supplyInput}`;
};

const probeText = (probe: PlannedProbe, degrees: Degrees): string => {
  const [fast, slow] = probe.timeConstantS;
  const where = whereText(probe.connection);
  return [
    `${probe.name} (${probe.id}): ${where}, ${probe.mounting}, lags a steady rise by ${fast} to ${slow} s`,
    ...(probe.plan.kind === 'ntc'
      ? ntcText(probe, probe.plan, degrees)
      : thermocoupleText(probe, probe.plan, degrees)),
  ].join('\n');
};

const percent = (share: number) => `${(share * 100).toFixed(0)} %`;

/** What the sheet on the workbench says first. */
const cautions =
  "This kit does not replace the engine's own alarms. Diesel engines only: its parts are not ignition-protected.\n" +
  'Hot exhaust and its water scald, a leaking exhaust is carbon monoxide, 12 V without a fuse is a fire. Work on a cold\n' +
  'engine with the batteries off, drill nothing, keep to local codes, and leave exhaust, fuel and wiring you are not\n' +
  'sure of to licensed people. Read hardware-notes/never.md first.';

/** A pass that comes before a chip has converted again finds nothing new there. */
const onChips = ({ probes }: Plan): string =>
  probes.some(({ connection }) => connection.over !== 'pin')
    ? ';\nwhat is on a chip of the I2C bus gives a new value 3 to 5 times a second, whatever the passes'
    : '';

/** The plan for a person: every probe, the bus, the pins, how soon the alarm comes, and what to buy. */
export const planText = (plan: Plan, degrees: Degrees): string => {
  const { bus, allocation, response, missingPulse, answers } = plan;
  const { digital } = allocation;
  const inputs = Object.entries(digital.running).map(([engine, pin]) => `${pin} (${engine})`);
  const running = inputs.length === 0 ? '' : `, running inputs ${inputs.join(', ')}`;
  return [
    cautions,
    `Kit for ${answers.boat}, on ${answers.board === 'uno' ? 'an Uno' : `a ${answers.board}`}. u is a standard uncertainty; double it for about 95 %.\n'u new' trusts the maker, 'u calibrated' trusts ice and boiling water: near ${pointText(degrees, 25, 0)} a close part can be the surer of the two,\nat the alarm the calibration is.`,
    ...plan.probes.map((probe) => probeText(probe, degrees)),
    ...plan.gauges.map(gaugeText),
    `Pins: buzzer ${digital.buzzerPin}, lamp ${digital.lampPin}, heartbeat ${digital.heartbeatPin}${running}${
      allocation.referencePin ? `, reference pin ${allocation.referencePin}` : ''
    }`,
    `Bus: at ${answers.sampleHz} Hz the serial line is ${percent(bus.lineShare)} full and the I2C bus ${percent(bus.i2cShare)}; up to ${bus.fastestSampleHz} passes a second fit${onChips(plan)}`,
    `Missing-pulse circuit: sounds ${missingPulse.nominalS.toFixed(1)} s after the last beat (${missingPulse.shortestS.toFixed(1)} to ${missingPulse.longestS.toFixed(1)} s over ordinary parts)`,
    ...(response.length === 0
      ? []
      : [
          `From loss of water to ${place(degrees, answers.wetElbow.limits.alarmAtC)} ${degrees.letter} at the elbow (simulation on an invented boat; yours will differ)\n${table(
            [
              ['', 'ring on the metal', 'wetted well', 'the ring costs'],
              ...response.map((r) => [
                r.load === 'cruise' ? 'at cruise' : 'wide open',
                `${r.strapOnS.toFixed(0)} s`,
                `${r.wellS.toFixed(0)} s`,
                `${r.costS.toFixed(0)} s`,
              ]),
            ],
          )}`,
        ]),
    `Parts\n${plan.parts.map((p) => `  ${String(p.quantity).padStart(3)}  ${p.part}  (${p.use})`).join('\n')}`,
    ...(plan.remarks.length === 0
      ? []
      : [`Remarks\n${plan.remarks.map((remark) => `  - ${remark}`).join('\n')}`]),
  ].join('\n\n');
};
