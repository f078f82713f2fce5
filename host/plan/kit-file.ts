import { Document, isMap, isScalar, type Scalar, visit } from 'yaml';
import type { KitEngine } from '../../node/index.js';
import { kitSampleHz } from './bus-load.js';
import { buzzerShuntOhms } from './buzzer-shunt.js';
import { plannedElement } from './element.js';
import { plannedEnginesOf } from './places.js';
import type { Plan, PlannedProbe } from './plan.js';
import { gaugeEntry } from './pressure/planned-gauges.js';

/** Points on the scale where an alert clears: far enough below that noise cannot make it chatter. */
const clearBelow = { ntc: 5, thermocouple: 20 } as const;

const limit = (raiseAtC: number | undefined, probe: PlannedProbe, holdS: number) =>
  raiseAtC === undefined ? undefined : { raiseAtC, clearAtC: raiseAtC - clearBelow[probe.kind], holdS };

const channelOf = (probe: PlannedProbe, { answers }: Plan) => {
  const { connection, plan } = probe;
  if (connection.over === 'mcp9601')
    return { kind: 'mcp960x', address: connection.address, thermocouple: 'K' };
  if (plan.kind === 'thermocouple') {
    if (connection.over === 'ads1115')
      return {
        kind: 'ad8495-ads1115',
        address: connection.address,
        input: connection.input,
        supplyVolts: answers.supplyVolts,
      };
    return { kind: 'ad8495', pin: connection.pin, supplyVolts: answers.supplyVolts };
  }
  const { kind, fields } = plannedElement(answers);
  const divider = { resistorOhms: plan.choice.resistorOhms, ...fields };
  if (connection.over === 'pin') return { kind, pin: connection.pin, ...divider };
  const { over: _, ...inputs } = connection;
  return { kind: `${kind}-ads1115`, ...inputs, supplyVolts: answers.supplyVolts, ...divider };
};

const probeEntry = (probe: PlannedProbe, plan: Plan) => {
  const slow = probe.place === 'wet-elbow' ? 2 : 10;
  const warning = limit(probe.warnAtC, probe, slow);
  const alarm = limit(probe.alarmAtC, probe, 2);
  return {
    id: probe.id,
    name: probe.name,
    engine: probe.engine,
    place: probe.place,
    mounting: probe.mounting,
    channel: channelOf(probe, plan),
    ...(warning || alarm ? { limits: { ...(warning ? { warning } : {}), ...(alarm ? { alarm } : {}) } } : {}),
  };
};

/** The planned kit as the text of a kit.yaml that a node runs from. */
export const kitFile = (plan: Plan): string => {
  const { answers, allocation } = plan;
  const { running, ...outputs } = allocation.digital;
  const { engines, alike } = plannedEnginesOf(answers);
  const { buzzerCurrentPin } = allocation;
  const { buzzerMilliamps } = answers;
  const engine = ({ id, name, shortName, kind, ratedKw = answers.ratedKw }: KitEngine) => ({
    id,
    name,
    ...(shortName === name ? {} : { shortName }),
    kind,
    ...(ratedKw === undefined ? {} : { ratedKw }),
    ...(running[id] === undefined ? {} : { runningInput: { pin: running[id], activeLow: true } }),
  });
  const document = new Document({
    kit: 1,
    boat: { name: answers.boat },
    node: answers.node,
    board: {
      connection: 'auto',
      sampleHz: kitSampleHz(answers.sampleHz, plan.bus),
    },
    outputs,
    engines: engines.map(engine),
    ...(alike.length === 0 ? {} : { alike }),
    ...(allocation.referencePin === undefined
      ? {}
      : { referencePin: { pin: allocation.referencePin, shareOfSupply: 0.5 } }),
    ...(buzzerCurrentPin === undefined || buzzerMilliamps === undefined
      ? {}
      : {
          buzzerCurrent: {
            pin: buzzerCurrentPin,
            shuntOhms: buzzerShuntOhms(buzzerMilliamps),
            ratedMilliamps: buzzerMilliamps,
            ...(answers.supplyVolts === 5 ? {} : { supplyVolts: answers.supplyVolts }),
          },
        }),
    probes: [...plan.probes.map((probe) => probeEntry(probe, plan)), ...plan.gauges.map(gaugeEntry)],
    ...(answers.linkPort === 8472 ? {} : { link: { over: 'tcp', listen: `127.0.0.1:${answers.linkPort}` } }),
  });
  explain(document);
  return `# Planned with "elbowroom plan". The limits are a start: set yours after a sea trial, and never above what
# the makers of engine, exhaust hose and elbow allow. This kit does not replace the engine's own alarms.
# All temperatures are degrees Celsius. What is left out keeps its usual value: elbowroom wiring --kit FILE checks it.
${document.toString({ lineWidth: 110 })}`;
};

/** What each part of the file is for, to people who change it. */
const comments: Readonly<Record<string, string>> = {
  kit: ' The layout of this file',
  node: ' The node is the program that reads this board; a second board has a node of another name',
  board:
    ' connection: auto finds the board on USB; or its path, such as /dev/ttyACM0. sampleHz: passes a second',
  outputs: ' Digital pins, as in the drawings',
  engines: ' runningInput: the pin that shows that the engine turns; activeLow: it is low then',
  alike: ' Engines to compare with each other',
  referencePin: ' An analogue pin on a known voltage: it shows whether the link or a probe is wrong',
  buzzerCurrent: ' A shunt that shows whether the buzzer takes current when it is ordered on, and only then',
  probes:
    ' channel: how the probe is read. limits: it raises at raiseAtC, after holdS seconds, and clears below clearAtC;\n warning comes before alarm. After calibration add to the probe: certificate: certificates/ID@1.json',
  link: ' Where this node listens for the host',
};

/** Comments before each part, and addresses as datasheets and jumpers have them. */
const explain = (document: Document): void => {
  visit(document, {
    Pair: (_, { key, value }, path) => {
      const name = isScalar(key) ? String(key.value) : '';
      if (name === 'address' && isScalar(value)) value.format = 'HEX';
      const comment = path.length === 2 && isMap(path[1]) ? comments[name] : undefined;
      if (comment !== undefined) (key as Scalar).commentBefore = comment;
    },
  });
};
