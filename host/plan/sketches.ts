import { buzzerShuntOhms } from './buzzer-shunt.js';
import { plannedElement } from './element.js';
import { missingPulseFor } from './missing-pulse.js';
import { plannedEnginesOf } from './places.js';
import type { Plan, PlannedProbe } from './plan.js';
import { boardPinsSketch, type UsedPin } from './sketch/board-pins.js';
import { buzzerShuntSketch } from './sketch/buzzer-shunt.js';
import { missingPulseSketch } from './sketch/missing-pulse.js';
import { ntcDividerSketch } from './sketch/ntc-divider.js';
import { lampSketch, powerSketch, runningInputSketch } from './sketch/outputs-and-inputs.js';
import { placementSketch } from './sketch/placement.js';
import { pressureTransducerSketch } from './sketch/pressure-transducer.js';
import { ringProbeSketch } from './sketch/ring-probe.js';
import { stripboardSketch } from './sketch/stripboard.js';
import { ad8495Sketch, mcp960xSketch } from './sketch/thermocouple-amplifier.js';
import { transistorLegsSketch } from './sketch/transistor-legs.js';
import { ohmsText } from './sketch/value-text.js';
import { type KitLine, wholeKitSketch } from './sketch/whole-kit.js';

const hex = (address: number) => `0x${address.toString(16)}`;

const probeSketch = ({ name, connection, plan }: PlannedProbe, { answers }: Plan): string => {
  if (connection.over === 'mcp9601')
    return mcp960xSketch({
      title: `${name}: type K at ${hex(connection.address)}`,
      address: connection.address,
      thermocouple: 'K',
    });
  const pin = connection.over === 'pin' ? connection.pin : connection.input;
  if (plan.kind === 'thermocouple') return ad8495Sketch({ title: `${name}: type K on ${pin}`, pin });
  const fine = connection.over === 'ads1115';
  const element = plannedElement(answers);
  return ntcDividerSketch({
    title: `${name}: ${element.mark} on ${pin}${fine ? ` of the ADS1115 at ${hex(connection.address)}` : ''}`,
    pin,
    resistorOhms: plan.choice.resistorOhms,
    mark: element.mark,
    element: element.name,
    thermistor: element.value,
    thermistorSide: 'low',
    reference: `${answers.supplyVolts} V`,
    ...(fine
      ? { note: `${connection.supplyInput} of the same chip goes to its ${answers.supplyVolts} V.` }
      : {}),
  });
};

const boardNames = { uno: 'Uno', nano: 'Nano', mega: 'Mega' } as const;

const circuitWords = ({ connection, plan }: PlannedProbe): string => {
  if (connection.over === 'mcp9601') return `MCP9601, address ${hex(connection.address)}, 100 nF`;
  const where =
    connection.over === 'ads1115' ? `, ${connection.input} of the ADS1115 at ${hex(connection.address)}` : '';
  return plan.kind === 'thermocouple'
    ? `AD8495, 1 kΩ and 100 nF${where}`
    : `${ohmsText(plan.choice.resistorOhms)} to 5 V, 1 kΩ and 100 nF${where}`;
};

/** Every line of the kit, probes first, then what the board drives. */
const kitLinesOf = ({ probes, gauges, allocation, answers }: Plan): readonly KitLine[] => {
  const { digital, referencePin, buzzerCurrentPin } = allocation;
  const i2c = answers.board === 'mega' ? 'SDA 20, SCL 21' : 'SDA A4, SCL A5';
  const input = (name: string, pin: number | undefined): KitLine[] =>
    pin === undefined
      ? []
      : [
          {
            outside: `${name} running input`,
            circuit: `0.25 A at the source, 2.2 kΩ, opto-coupler, 10 kΩ`,
            terminal: `D${pin}`,
          },
        ];
  return [
    ...probes.map((probe) => ({
      outside: probe.name,
      circuit: circuitWords(probe),
      terminal: probe.connection.over === 'pin' ? probe.connection.pin : i2c,
    })),
    ...gauges.map(({ name, pin }) => ({
      outside: name,
      circuit: '5 V, 100 kΩ to 0 V, 1 kΩ and 100 nF',
      terminal: pin,
    })),
    ...(referencePin === undefined
      ? []
      : [
          { outside: '(none: reference pin)', circuit: '10 kΩ to 5 V, 10 kΩ to 0 V', terminal: referencePin },
        ]),
    ...(buzzerCurrentPin === undefined || answers.buzzerMilliamps === undefined
      ? []
      : [
          {
            outside: `Buzzer shunt, ${buzzerShuntOhms(answers.buzzerMilliamps)} Ω`,
            circuit: '10 kΩ, 1 µF to 0 V',
            terminal: buzzerCurrentPin,
          },
        ]),
    ...plannedEnginesOf(answers).engines.flatMap(({ id, name }) => input(name, digital.running[id])),
    {
      outside: 'Missing-pulse circuit',
      circuit: 'heartbeat wire, straight',
      terminal: `D${digital.heartbeatPin}`,
    },
    { outside: 'Buzzer, through Q3', circuit: 'buzzer wire, straight', terminal: `D${digital.buzzerPin}` },
    { outside: 'Lamp, through Q4', circuit: 'lamp wire, straight', terminal: `D${digital.lampPin}` },
    { outside: 'Missing-pulse circuit', circuit: '0 V, in the same cable', terminal: 'GND' },
  ];
};

/** The board with its pins in use, digital ones on the left. */
const boardPinsOf = (plan: Plan): string => {
  const used = new Map<string, string[]>();
  for (const { outside, terminal } of kitLinesOf(plan))
    for (const pin of terminal.split(', ')) used.set(pin, [...(used.get(pin) ?? []), outside]);
  const chips = new Set(
    plan.probes.flatMap(({ connection }) => ('address' in connection ? [connection.address] : [])),
  ).size;
  const pins = [...used].map(
    ([pin, uses]): UsedPin => ({
      pin,
      use: /^S(DA|CL)/.test(pin) ? `I2C bus, ${chips} ${chips === 1 ? 'chip' : 'chips'}` : uses.join(', '),
    }),
  );
  const isDigital = ({ pin }: UsedPin) => pin.startsWith('D');
  return boardPinsSketch({
    title: 'The board and the pins this kit uses',
    board: boardNames[plan.answers.board],
    left: [...pins.filter(isDigital), { pin: '5V', use: 'dividers and amplifiers' }],
    right: pins.filter((pin) => !isDigital(pin)),
  });
};

/** File name to drawing: one wiring sketch per probe, then what all kits share. */
export const sketchesFor = (plan: Plan): ReadonlyMap<string, string> => {
  const { digital } = plan.allocation;
  const { engines } = plannedEnginesOf(plan.answers);
  const running = engines.flatMap(({ id, name }): [string, string][] => {
    const pin = digital.running[id];
    const title = `${name}: running input`;
    return pin === undefined
      ? []
      : [[`running-${id}.svg`, runningInputSketch({ title, pin, source: plan.answers.runningSource })]];
  });
  const ignitions = engines.map(({ name }) => `${name} ignition`);
  const feeds = [...ignitions, 'kit switch'];
  return new Map([
    ...plan.probes.map((probe): [string, string] => [`${probe.id}.svg`, probeSketch(probe, plan)]),
    ...plan.gauges.map(({ id, name, pin }): [string, string] => [
      `${id}.svg`,
      pressureTransducerSketch({ title: `${name}: pressure on ${pin}`, pin }),
    ]),
    ...running,
    ['lamp.svg', lampSketch({ title: 'Lamp at the helm', pin: digital.lampPin })],
    ['missing-pulse.svg', missingPulseSketch(missingPulseFor(plan.answers.supplyVolts).parts, feeds)],
    ...(plan.allocation.buzzerCurrentPin === undefined || plan.answers.buzzerMilliamps === undefined
      ? []
      : [
          [
            'buzzer-shunt.svg',
            buzzerShuntSketch({
              title: 'The buzzer’s current, read back',
              pin: plan.allocation.buzzerCurrentPin,
              shuntOhms: buzzerShuntOhms(plan.answers.buzzerMilliamps),
            }),
          ] as const,
        ]),
    ['stripboard.svg', stripboardSketch(missingPulseFor(plan.answers.supplyVolts).parts, feeds)],
    ['transistor-legs.svg', transistorLegsSketch()],
    ['board-pins.svg', boardPinsOf(plan)],
    [
      'whole-kit.svg',
      wholeKitSketch({
        title: `${plan.answers.boat}: the whole kit on one sheet`,
        board: `${boardNames[plan.answers.board]} board`,
        kitLines: kitLinesOf(plan),
      }),
    ],
    ['power.svg', powerSketch(ignitions)],
    ['placement.svg', placementSketch()],
    ['ring-probe.svg', ringProbeSketch()],
  ]);
};
