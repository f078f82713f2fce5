import { allocate, type Connection, secondBoard } from './allocate.js';
import type { PlanAnswers } from './answers.js';
import { bestResistor } from './best-resistor.js';
import { busLoad, kitSampleHz } from './bus-load.js';
import { ads1115Converter, boardConverter } from './converter.js';
import { plannedElement } from './element.js';
import { hasLowPins, missingPulseFor, missingPulseTiming } from './missing-pulse.js';
import { type NtcCircuit, ntcPoint } from './ntc-budget.js';
import { partsFor } from './parts-list.js';
import { type PlannedSpot, plannedEnginesOf, plannedSpots } from './places.js';
import type { NtcPlan, Plan, PlannedProbe, ThermocouplePlan } from './plan.js';
import { planGauges } from './pressure/planned-gauges.js';
import { responseCosts, timeConstantBandS } from './response.js';
import { thermocouplePoint } from './thermocouple-budget.js';

/** Copper at 60 C: 0.0202 ohm mm2/m (0.0172 at 20 C and 0.39 % per degree, handbook values). */
const cableOhms = ({ metres, squareMm }: PlanAnswers['cable']) => (2 * metres * 0.0202) / squareMm;

/**
 * Milliwatts a degree: bare in air about 2, potted on metal or in a wet well more (common practice, no source;
 * a datasheet's own figure is for still air or a stirred bath).
 */
const dissipationMwPerC = { 'strap-on': 5, well: 6, free: 2 } as const;

/** The board's ten bits are enough while the circuit adds no more than this. Our choice: about the error that a calibration leaves. */
const enoughC = 0.3;

const marks = (spot: PlannedSpot): readonly number[] => {
  const step = spot.kind === 'ntc' ? 10 : 100;
  const first = Math.ceil(spot.fromC / step) * step;
  const range = Array.from({ length: Math.floor((spot.toC - first) / step) + 1 }, (_, i) => first + i * step);
  const setpoints = [spot.warnAtC, spot.alarmAtC, spot.bestAtC].filter((t) => t !== undefined);
  return [...new Set([...range, ...setpoints])].sort((a, b) => a - b);
};

type Chosen = 'board' | 'ads1115';

const circuitOf = (spot: PlannedSpot, answers: PlanAnswers, converter: Chosen): NtcCircuit => {
  return {
    part: { ...plannedElement(answers).part, dissipationMwPerC: dissipationMwPerC[spot.mounting] },
    supplyVolts: answers.supplyVolts,
    thermistorSide: 'low',
    leadOhms: cableOhms(answers.cable),
    resistorTolerancePercent: 0.1,
    converter: converter === 'board' ? boardConverter : ads1115Converter(answers.supplyVolts),
  };
};

/** What a converter adds where it matters, with the resistor that suits it. */
const converterAddsC = (spot: PlannedSpot, answers: PlanAnswers, converter: Chosen): number => {
  const circuit = circuitOf(spot, answers, converter);
  return ntcPoint(circuit, bestResistor(circuit, spot).resistorOhms, spot.bestAtC).circuitUncertaintyC;
};

const whyConverter = (chosen: Chosen, asked: boolean, boardC: number, ads1115C: number): string => {
  const both = `the board’s converter adds ${boardC.toFixed(2)} K, an ADS1115 ${ads1115C.toFixed(2)} K`;
  if (chosen === 'board') return `${both}; a home calibration leaves a larger error than either`;
  if (asked) return `${both}; you asked for it`;
  return boardC > enoughC ? both : `${both}; no pin of the board was left`;
};

const planNtc = (spot: PlannedSpot, answers: PlanAnswers, chosen: Chosen): NtcPlan => {
  const circuit = circuitOf(spot, answers, chosen);
  const choice = bestResistor(circuit, spot);
  const boardC = converterAddsC(spot, answers, 'board');
  const ads1115C = converterAddsC(spot, answers, 'ads1115');
  return {
    kind: 'ntc',
    element: plannedElement(answers).name,
    choice,
    points: marks(spot).map((temperatureC) => ntcPoint(circuit, choice.resistorOhms, temperatureC)),
    best: ntcPoint(circuit, choice.resistorOhms, spot.bestAtC),
    converter: {
      chosen,
      why: whyConverter(chosen, answers.converter !== 'auto', boardC, ads1115C),
      boardC,
      ads1115C,
    },
  };
};

/** Thermistors that the board's converter would not serve well enough, and all that was asked onto an ADS1115. */
const fineSpots = (spots: readonly PlannedSpot[], answers: PlanAnswers): ReadonlySet<string> =>
  new Set(
    spots
      .filter(
        (spot) =>
          (spot.kind === 'ntc' && answers.converter !== 'board') ||
          // An AD8495 is not ratiometric: on a converter with a reference of its own it does not carry the supply's error.
          (spot.kind === 'thermocouple' &&
            answers.exhaustGas.amplifier === 'ad8495' &&
            answers.converter === 'ads1115'),
      )
      .filter(
        (spot) =>
          answers.converter === 'ads1115' ||
          plannedElement(answers).alwaysFine ||
          converterAddsC(spot, answers, 'board') > enoughC,
      )
      .map((spot) => spot.id),
  );

const planThermocouple = (
  spot: PlannedSpot,
  { exhaustGas, supplyVolts }: PlanAnswers,
  over: Connection['over'],
): ThermocouplePlan => {
  const analogue = over === 'ads1115' ? 'ad8495-ads1115' : 'ad8495';
  const amplifier = exhaustGas.amplifier === 'ad8495' ? analogue : 'mcp9601';
  const at = (temperatureC: number) =>
    thermocouplePoint(amplifier, exhaustGas.wireClass, temperatureC, supplyVolts);
  return { kind: 'thermocouple', points: marks(spot).map(at), best: at(spot.bestAtC) };
};

/** What a pump says of an engine of which nothing says whether it runs; see hardware-notes/placement.md. */
const pressureWithoutInputs = ({ exhaustGas }: PlanAnswers): string => {
  const untilWhen =
    exhaustGas.amplifier === 'none'
      ? 'until the board is switched off, for no exhaust-gas probe shows that the engine has stopped'
      : 'until its exhaust gas is below 80 °C';
  return `Without running inputs a pump that stops with its engine looks like one that has lost its water. Where only the pressure probe is left to show an engine’s cooling (its elbow probe not fitted, or faulty), the kit sounds as blind at idle and after every stop, ${untilWhen}; the probe never learns its zero, and a pump that still gives more than 10 kPa is not judged. Write runningInputs: true, fed from an oil-pressure switch of its own.`;
};

const remarksOn = (plan: Omit<Plan, 'remarks' | 'parts'>): string[] => {
  const { answers, bus, allocation, response, missingPulse } = plan;
  const remarks: string[] = [];
  if (!bus.fits)
    remarks.push(
      `${answers.sampleHz} Hz asks ${(bus.lineShare * 100).toFixed(0)} % of the serial line and ${(bus.i2cShare * 100).toFixed(0)} % of the I2C bus; ${bus.fastestSampleHz} Hz fits. For more, ${secondBoard}.`,
    );
  const passesHz = kitSampleHz(answers.sampleHz, bus);
  if (passesHz < missingPulse.slowestEdgesPerS)
    remarks.push(
      `At ${passesHz} Hz the missing-pulse circuit may sound between beats; it needs ${Math.ceil(missingPulse.slowestEdgesPerS)} Hz or more. Read fewer probes on this board, take one with a faster serial line, or ${secondBoard}.`,
    );
  if (!answers.runningInputs)
    remarks.push(
      'Without running inputs a stopped engine and an idling engine without water look alike: the guard must wait for a limit.',
    );
  if (answers.rawWaterPressure && !answers.runningInputs) remarks.push(pressureWithoutInputs(answers));
  if (answers.runningInputs && answers.runningSource === 'ignition')
    remarks.push(
      'A running input from the ignition says that the key is on, not that the engine turns. A diesel with a mechanical stop runs on with the key off: the guard then takes it for stopped, with the limits of a stopped engine. An oil-pressure switch of its own or the alternator (D+ or W) is safer.',
    );
  if (hasLowPins(answers.supplyVolts))
    remarks.push(
      'Pins of less than 4.5 V: Q3 and the lamp’s transistor must be logic-level types, or the alarm pin is dead. Hear both sounds before you trust it: the buzzer test of Set-up, and the cable pulled.',
    );
  if (allocation.referencePin === undefined)
    remarks.push(
      'No analogue pin is left for the reference pin (a known voltage that separates a damaged link from a hot probe); a Nano or a Mega has one to spare.',
    );
  if (answers.buzzerMilliamps !== undefined && allocation.buzzerCurrentPin === undefined)
    remarks.push(
      'No analogue pin is left to read the buzzer’s current back; a Nano or a Mega has one to spare, and converter: ads1115 frees the pins of the thermistors.',
    );
  if (answers.exhaustGas.amplifier === 'ad8495' && answers.converter !== 'ads1115')
    remarks.push(
      'An AD8495 on the board’s converter carries the error of the 5 V supply into the exhaust temperature; an MCP9601 does not, nor does an ADS1115 between (converter: ads1115).',
    );
  const joined = enginesOnOneBus(plan);
  if (joined.length > 0)
    remarks.push(
      `Both elbow probes of ${joined.join(', ')} hang on the I2C bus: a short on its wires blinds both. A Mega has a pin for each.`,
    );
  if (answers.exhaustGas.amplifier === 'ad8495')
    remarks.push(
      'An AD8495 on a single supply reads nothing below about 5 °C (datasheet, from memory): on a winter morning a cold engine shows no exhaust temperature until the gas warms.',
    );
  const [cruise] = response;
  if (answers.wetElbow.mounting === 'strap-on' && cruise)
    remarks.push(
      `At cruise a ring passes the alarm about ${Math.round(cruise.costS)} s after a well would (simulation on an invented boat). A well has to be fitted by someone who knows exhaust systems.`,
    );
  return remarks;
};

/** Two probes guard through any one fault only where they do not share what can fail. */
const enginesOnOneBus = ({ answers, probes }: Pick<Plan, 'answers' | 'probes'>): readonly string[] =>
  plannedEnginesOf(answers).engines.flatMap(({ id, name }) => {
    const elbows = probes.filter(({ engine, place }) => engine === id && place === 'wet-elbow');
    return elbows.length > 1 && elbows.every(({ connection }) => connection.over !== 'pin') ? [name] : [];
  });

/**
 * The whole kit from the answers: pure, the same answers give the same plan. Throws PlanError when the board has
 * too few pins, RangeError when no resistor suits the thermistor.
 */
export const makePlan = (answers: PlanAnswers): Plan => {
  const spots = plannedSpots(answers);
  const allocation = allocate(spots, answers, fineSpots(spots, answers));
  const probes = spots.map((spot): PlannedProbe => {
    const connection = allocation.connections.get(spot.id);
    if (!connection) throw new Error(`No connection was given to ${spot.id}`);
    return {
      ...spot,
      connection,
      timeConstantS: timeConstantBandS[spot.mounting],
      plan:
        spot.kind === 'ntc'
          ? planNtc(spot, answers, connection.over === 'ads1115' ? 'ads1115' : 'board')
          : planThermocouple(spot, answers, connection.over),
    };
  });
  const over = (way: Connection['over']) => probes.filter((probe) => probe.connection.over === way);
  const adsChips = new Set(
    over('ads1115').map(({ connection }) => 'address' in connection && connection.address),
  );
  const circuit = missingPulseFor(answers.supplyVolts);
  const bare = {
    answers,
    probes,
    gauges: planGauges(answers, allocation.gaugePins),
    allocation,
    bus: busLoad({
      analogChannels:
        over('pin').length +
        allocation.gaugePins.length +
        [allocation.referencePin, allocation.buzzerCurrentPin].filter((pin) => pin !== undefined).length,
      mcp960xChips: over('mcp9601').length,
      ads1115Inputs: over('ads1115').length + adsChips.size,
      sampleHz: answers.sampleHz,
    }),
    response: responseCosts(answers.wetElbow.limits.alarmAtC),
    missingPulse: missingPulseTiming(circuit.parts, circuit.conditions),
  };
  return { ...bare, parts: partsFor(bare), remarks: remarksOn(bare) };
};
