import type { Fault } from '../channels/fault.js';
import { hex } from '../channels/fields.js';
import { kindOf } from '../channels/table.js';
import type { Probe } from '../kit/schema.js';
import type { MonotonicMs } from '../time/clock.js';
import { wordsForMissing } from './fault-words.js';
import type { ProbeWindow } from './probe-window.js';

/** What is known of the boat around a probe while its wiring is looked at. */
export type Surroundings = {
  readonly nowMs: MonotonicMs;
  /** The temperature that everything should have, when no engine is warm; undefined when that is not so. */
  readonly coldBoatC?: number;
};

/** A converter without any noise for this long is suspicious; several bits of noise are usual. */
const stuckAfterMs = 30_000;
const looseBreaks = 2;
const looseStrays = 5;
const twinContradictions = 2;
/** MCP9601 and terminals sit in the engine room; the engine block is never this far from them. */
const coldJunctionMaxC = 85;
const coldJunctionMinC = -20;

/** Every fault of one probe that its last seconds show; none means that nothing was found. */
export const diagnose = (probe: Probe, window: ProbeWindow, around: Surroundings): Fault[] => {
  const { last } = window;
  if (!last)
    return [
      { fault: 'nothing-yet', message: 'Nothing has been read from it yet.', check: 'Wait a few seconds.' },
    ];
  const faults: Fault[] = [];
  const { signal } = last.reading;
  const doubt = signal && kindOf(probe.channel).doubts?.(probe.channel, signal, around.coldBoatC);
  if (doubt) faults.push(doubt);
  const { sample } = last.sampled;
  const { result } = last.reading;
  const jumps = window.breaks >= looseBreaks || window.strays >= looseStrays;
  if (window.contradictions >= twinContradictions || (jumps && kindOf(probe.channel).chip))
    faults.push(contradicting(probe, window));
  else if (jumps) faults.push(loose(window));
  else if (result.kind === 'missing' && doubt?.fault !== 'reversed' && result.reason !== 'cold-junction')
    faults.push(
      wordsForMissing(probe.channel, result.reason, sample.kind === 'nothing' ? sample.detail : undefined),
    );
  const coldJunctionC = sample.kind === 'thermocouple' ? sample.coldJunctionC : undefined;
  if (coldJunctionC !== undefined && (coldJunctionC < coldJunctionMinC || coldJunctionC > coldJunctionMaxC))
    faults.push({
      fault: 'cold-junction',
      message: `The chip reports its own temperature as ${coldJunctionC.toFixed(1)} C.`,
      check:
        'Feel the chip. If it is not that hot or cold it is damaged; if it is, move it away from the engine.',
    });
  if (result.kind === 'measured' && window.unchangedForMs(around.nowMs) >= stuckAfterMs)
    faults.push({
      fault: 'stuck',
      message: `It has given exactly the same value for ${Math.round(window.unchangedForMs(around.nowMs) / 1000)} s, without even noise.`,
      check: 'Warm the probe in your hand. If nothing moves, the input or the chip hangs: reset the board.',
    });
  return faults;
};

const loose = (window: ProbeWindow): Fault => ({
  fault: 'loose',
  message: `Contact comes and goes: ${window.breaks} breaks and ${window.strays} stray counts in 10 s.`,
  check: 'Wiggle each connector while you watch this line, and crimp or solder the one that moves it.',
});

const contradicting = ({ channel }: Probe, window: ProbeWindow): Fault => ({
  fault: 'contradicting',
  message: `Its answers contradict each other: ${window.contradictions} that cannot be, ${window.breaks} jumps in 10 s.`,
  check: `Look for a second chip on address ${'address' in channel ? hex(channel.address) : ''} (unplug the others one by one), then for a loose wire of the bus or of the probe.`,
});
