import type { Condition, Situation } from './condition.js';
import { inWords } from './engine-words.js';

/** A raw-water circuit that is opened below the waterline floods the boat. Common practice, no source. */
const floodingFirst =
  'Close the seacock before you open strainer or pump, and open it again before you start the engine.';
/** Air feeds a fire, so the hatch stays shut. Common practice, no source. */
const smokeOrFire =
  'Smoke, or a smell of burning: keep the engine-room hatch shut, stop engine and blowers, use the fixed extinguisher as its maker says, call for help. Look at the bilge only when it is clear, from outside.';
const lookAtExhaust =
  'Look at that exhaust from a safe place, one hand for the boat, never over the stern with a propeller turning.';

const safetyFirst = 'People first: keep clear of hot exhaust parts and steam, and follow the engine maker.';

const easeBack = (engine: string, isGenerator: boolean): string =>
  isGenerator ? `Take load off ${engine}` : `Ease ${engine} back`;

/**
 * The first thing to do in at most four words, verb first, without the name of the engine: what is shown in the largest
 * type on the page, in the subject of a message and in a sentence to the instruments. Common practice, no source.
 */
export function instructionOf(condition: Condition): string {
  const { situation, priority, beyond, rule, engine, idles } = condition;
  const ease = condition.engineSaid?.kind === 'generator' ? 'Take load off' : 'Ease back';
  switch (situation) {
    case 'cooling':
      if (priority !== 'alarm' && !idles) return ease;
      if (beyond === 2) return 'Stop now';
      return condition.engineSaid?.kind === 'generator' ? 'Unload, then stop' : 'Idle, then stop';
    case 'high-limit':
    case 'load':
      return engine ? ease : 'Ease all engines back';
    case 'trend':
      return 'Plan a check';
    case 'probe-fault':
      if (rule === 'probe-unproven') return 'Change the throttle';
      return rule === 'dividers-implausible' ? 'Check the divider resistors' : 'Watch its own gauges';
    case 'blind':
    case 'running-input':
      return 'Watch its own gauges';
    case 'board':
      return rule.startsWith('buzzer') ? 'Check the buzzer' : 'Watch the engines’ gauges';
    case 'set-up':
      return rule === 'set-up-unguarded' ? 'Watch its own gauges' : 'Read it when moored';
  }
}

type Words = { readonly engine: string; readonly isGenerator: boolean };
type ActionsFor = (condition: Condition, words: Words) => readonly string[];

/**
 * What to do now, in order. The first three are short enough to be read from a distance, the rest is for the moment
 * after. Common practice, no source; the engine maker's instructions come first.
 */
export function firstActions(condition: Condition): readonly string[] {
  const { engineSaid, situation } = condition;
  return bySituation[situation](condition, {
    engine: engineSaid ? inWords(engineSaid) : 'the engine',
    isGenerator: engineSaid?.kind === 'generator',
  });
}

const bySituation: Readonly<Record<Situation, ActionsFor>> = {
  cooling: (condition, words) =>
    condition.priority === 'alarm' || condition.idles
      ? coolingAlarm(condition, words)
      : coolingWarning(words),
  blind: (_, { engine }) => [
    'Smoke: stop it, hatch shut.',
    'Safe place: water from exhaust?',
    'Then acknowledge: you watch it now.',
    `Until it is repaired only you guard ${engine}: read its own gauges again and again, and ease it back; at idle there is more time.`,
    'Steam or a smell of hot rubber: stop that engine.',
    smokeOrFire,
    lookAtExhaust,
    'Once acknowledged, only a short reminder sounds every few minutes while it runs.',
    'With the engine stopped and cold, check plug, cable and clamp of the probe, then run: elbowroom wiring',
    safetyFirst,
  ],
  'high-limit': ({ rule, probe }) =>
    rule === 'engine-room-hot'
      ? [
          'Fire? Keep the hatch shut.',
          'Look for smoke from outside.',
          'No smoke: check blower, air intakes.',
          'Hot engine-room air may be a fire: look for smoke from outside before anything else.',
          smokeOrFire,
          'No smoke: ease the engines back, see whether the air cools, and check the blower and the air intakes.',
          safetyFirst,
        ]
      : [
          `See whether ${probe ?? 'the reading'} falls.`,
          'Smoke: stop it, hatch shut.',
          'Smell of hot rubber: stop it.',
          smokeOrFire,
          safetyFirst,
        ],
  load: (_, { engine, isGenerator }) => [
    'See whether its exhaust gas cools.',
    isGenerator ? 'Check what draws current.' : 'Check for rope, weed or tow.',
    'Watch its own gauges.',
    `${easeBack(engine, isGenerator)} until its exhaust gas is as warm as usual.`,
    'If it stays hotter than usual at the same load, have injectors and turbocharger checked.',
    safetyFirst,
  ],
  trend: () => [
    'Nothing is urgent.',
    'Seacock shut: check strainer, impeller, cooler.',
    'Compare all probes while cold.',
    'Compare them before the next start: a drifting probe looks like a drifting engine.',
    `${floodingFirst} Engine stopped and cold.`,
    'Log the work you do, so that the engine’s baseline starts again from there.',
  ],
  'probe-fault': (condition, words) => (byProbeRule[condition.rule] ?? probeBroken)(condition, words),
  'running-input': (_, { engine }) => [
    'Is that engine running?',
    'Check fuse and wire of the input.',
    'Check its opto-coupler and supply.',
    `If ${engine} runs, read its own gauges more often: the guard uses its limits and its exhaust gas alone.`,
    'An input that said stopped is believed again once it has said running.',
  ],
  board: ({ actions, rule }) => actions ?? (rule === 'board-unsteady' ? boardUnsteady : boardLost),
  'set-up': ({ actions }) => actions ?? [],
};

const coolingAlarm: ActionsFor = ({ beyond }, { engine, isGenerator }) => [
  'Smoke: stop it, hatch shut.',
  'Safe place: water from exhaust?',
  'Stopped: shut seacock, then strainer.',
  beyond === 2
    ? `Stop ${engine} now if the boat is safe without it: its wet exhaust hose is in danger.`
    : isGenerator
      ? `Take the electrical load off ${engine} and stop it.`
      : `Ease ${engine} to idle, and shut it down as soon as the boat is safe without it.`,
  smokeOrFire,
  `${lookAtExhaust} Does water come out?`,
  `With the engine stopped: was its seacock open? ${floodingFirst}`,
  'Check hose clamps, raw-water pump belt and impeller once the parts are cool.',
  'Do not open the coolant cap while it is hot.',
  safetyFirst,
];

const coolingWarning = ({ engine, isGenerator }: Words): readonly string[] => [
  'See whether its elbow cools.',
  'Safe place: less water, more steam?',
  'Soon, stopped: seacock shut, check strainer.',
  `${easeBack(engine, isGenerator)} until its elbow cools. ${lookAtExhaust}`,
  `At the next quiet moment, engine stopped, check strainer, seacock and impeller. ${floodingFirst}`,
  safetyFirst,
];

const isItAsUsual = `${lookAtExhaust} Is it as much water as usual, now and later?`;

const probeBroken: ActionsFor = () => [
  'This probe guards nothing now.',
  'Engine cold: check its plug, cable.',
  'Then run: elbowroom wiring',
  'Until it is repaired read the engine’s own gauges more often. Check plug, cable and clamp only with the engine stopped and cold.',
];

/** A probe fault that is not an open, shorted or silent input needs other steps. */
const byProbeRule: Readonly<Record<string, ActionsFor>> = {
  'dividers-implausible': () => [
    'Probes in a calibration bath: ignore this.',
    'Watch the engines’ own gauges.',
    'Engines cold: run elbowroom wiring.',
    'If the elbow probes are in a calibration bath nothing is wrong: this ends ten minutes after they came out.',
    'Until it is repaired the elbows’ readings are wrong, and so are their limits. elbowroom wiring names the resistor that would fit.',
    'Read the colour rings of the divider resistors, or measure one with its probe unplugged, and compare resistorOhms in the kit file.',
    'If they are right, feel whether the amplifiers are somewhere hot, or whether a heater warms both engines.',
  ],
  'probe-unproven': (_, { isGenerator }) => [
    isGenerator ? 'Change its load by a quarter.' : 'Change the throttle by a quarter.',
    'Hold it three minutes.',
    'Then go back.',
    'Only where traffic, sea and the engine maker’s instructions allow it. A probe that is well mounted responds, and this alert ends by itself.',
    'One that has come off does not: after a while it counts as detached, and that sounds.',
    safetyFirst,
  ],
  'elbows-disagree': () => [
    'The hotter one counts.',
    'Engine cold: check both mountings.',
    'Cold overnight: do they agree?',
    isItAsUsual,
    'With the engine stopped and cold, see whether the ring is tight on bare metal, and whether the other is deep in its well.',
    'Cold for a night both must read the same, as everything aboard does. If they do not, put each in melting ice: elbowroom verify says which one drifted.',
    'If they agree cold and not warm, it is the mounting, or a deposit in the elbow that keeps the water from one of them.',
    safetyFirst,
  ],
  'probe-fallen': () => [
    'This probe guards nothing now.',
    'Safe place: water from exhaust?',
    'Engine cold: check its mounting.',
    isItAsUsual,
    'With the engine stopped and cold, see whether the ring is tight on bare metal of the elbow, or the probe deep in its well.',
    'If it is, compare the exhaust-gas and sea probes with their twins; after work on the cooling, run: elbowroom commission',
    safetyFirst,
  ],
};

const boardUnsteady = [
  'The guard has gaps.',
  'Check the USB cable, both ends.',
  'Check the board’s supply.',
  'Check the cable’s converter too, and the supply while an engine is started.',
  'The alert ends by itself some minutes after the last loss.',
];

const boardLost = [
  'Nothing is guarded now.',
  'Check the USB cable, both ends.',
  'Check the board’s supply.',
  'The guard returns by itself when the board answers.',
];
