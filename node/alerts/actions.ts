import type { Condition } from './condition.js';

const safetyFirst = 'People first: keep clear of hot exhaust parts and steam, and follow the engine maker.';

/** What to do now, in order, in plain words. Common practice, no source; the engine maker's instructions come first. */
export function firstActions(condition: Condition): readonly string[] {
  const engine = condition.engine ? `the ${condition.engine} engine` : 'the engine';
  switch (condition.situation) {
    case 'cooling':
      return condition.priority === 'alarm'
        ? [
            `Ease ${engine} to idle, and shut it down as soon as the boat is safe without it.`,
            'Smoke or a smell of burnt rubber: stop it now, everybody into fresh air (carbon monoxide), and look for water in the bilge.',
            'Look over the side: does water come out of that exhaust?',
            'Check the seacock and the strainer of that engine.',
            'Look at hose clamps, raw-water pump belt and impeller once the parts are cool.',
            'Do not open the coolant cap while it is hot.',
            safetyFirst,
          ]
        : [
            `Ease ${engine} back and watch whether its elbow cools.`,
            'Look over the side: is there less water or more steam than from the other exhaust?',
            'Check strainer and seacock at the next quiet moment; then the impeller.',
            safetyFirst,
          ];
    case 'high-limit':
      return [
        `Ease ${engine} back and see whether ${condition.probe ?? 'the reading'} falls.`,
        'Look for smoke, steam or a smell of hot rubber before you open the engine room fully.',
        safetyFirst,
      ];
    case 'load':
      return [
        `Ease ${engine} back until its exhaust gas is as warm as usual.`,
        'Look for a rope round the propeller, a foul bottom or a heavy tow.',
        'If it stays hotter than its twin at the same speed, have injectors and turbocharger looked at.',
        safetyFirst,
      ];
    case 'trend':
      return [
        'Nothing is urgent. Plan a look at strainer, impeller and cooler of that engine.',
        'Compare all probes cold before the next start: a drifting probe looks like a drifting engine.',
        'Write what you change into the log, so that its baseline starts anew.',
      ];
    case 'probe-fault':
      if (condition.rule === 'dividers-implausible')
        return [
          'If the elbow probes sit in a bath to be calibrated, nothing is wrong: this ends ten minutes after they came out.',
          'Until it is mended no limit on the elbows means what it says: read the engines’ own gauges more often.',
          'Engines cold, run: elbowroom wiring. It names the resistor that would fit.',
          'Read the colour rings of the divider resistors, or measure one with its probe unplugged, and compare resistorOhms in the kit file.',
          'If they are right, feel whether the amplifiers sit in something hot, or whether a heater warms both engines.',
        ];
      if (condition.rule === 'probe-fallen')
        return [
          'Until it is mended this probe guards nothing: read the engine’s own gauges more often.',
          'Look over the side now and then: does as much water come out of that exhaust as out of the other?',
          'With the engine stopped and cold, see whether the ring sits tight on bare metal of the elbow, or the probe deep in its well.',
          'If it does, compare the exhaust-gas and sea probes with their twins; after work on the cooling, run: elbowroom commission',
          safetyFirst,
        ];
      return [
        'Until it is mended this probe guards nothing: read the engine’s own gauges more often.',
        'With the engine stopped and cold, check plug, cable and clamp of this probe.',
        'Then run: elbowroom wiring',
      ];
    case 'running-input':
      return [
        `Is ${engine} running? Then read its own gauges more often: the guard goes by its limits and its exhaust gas alone.`,
        'Check the fuse, the wire, the opto-coupler and its supply at the running input.',
        'An input that said stopped is believed again once it has said running.',
      ];
    case 'board':
      if (condition.rule === 'board-unsteady')
        return [
          'What is guarded has gaps: read the engine’s own gauges more often.',
          'Check the USB cable at both ends, its converter, and the supply of the board while an engine is started.',
          'The alert goes by itself some minutes after the last loss.',
        ];
      return [
        'Nothing is guarded now: read the engine’s own gauges.',
        'Check the USB cable at both ends and the supply of the board.',
        'It comes back by itself when the board answers.',
      ];
  }
}
