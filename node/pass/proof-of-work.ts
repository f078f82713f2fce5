import { alarmSound } from '../annunciator/annunciation.js';
import { converterFor } from '../convert/converter.js';
import { startGuard } from '../guard/guard.js';
import { settingsFromKit } from '../guard/settings-from-kit.js';
import type { Sample, Sampled } from '../input/sample.js';
import { kitSchema } from '../kit/schema.js';
import { temperatureOf } from '../reading/reading.js';
import { asMonotonicMs } from '../time/clock.js';
import { Pass, type PassResult } from './pass.js';

/** A boat of two elbows and a thermocouple that exists only here. Its limits are those of every elbow: 93 C alarms. */
const kit = kitSchema.parse({
  kit: 1,
  boat: { name: 'Proof of work', invented: true },
  board: { connection: 'auto' },
  outputs: { buzzerPin: 8, lampPin: 9, heartbeatPin: 10 },
  engines: [{ id: 'warm-one' }, { id: 'cool-one' }],
  alike: ['warm-one', 'cool-one'],
  probes: [
    { id: 'hot', name: 'Hot', engine: 'warm-one', place: 'wet-elbow', channel: divider('A0') },
    { id: 'cool', name: 'Cool', engine: 'cool-one', place: 'wet-elbow', channel: divider('A1') },
    {
      id: 'couple',
      name: 'Couple',
      engine: 'all',
      place: 'engine-room',
      channel: { kind: 'mcp960x', address: 0x60 },
    },
  ],
});

function divider(pin: string) {
  const thermistor = { law: 'beta', r25Ohms: 10_000, betaK: 3977 };
  return { kind: 'ntc-divider', pin, resistorOhms: 2_200, thermistor };
}

/**
 * By hand from R = 10 kohm exp(3977 K (1/T - 1/298.15 K)): 5278.5 ohm at 40 C and 684.9 ohm at 100 C, over 2.2 kohm.
 * Type K at 100 C against a junction at 0 C: 4096 microvolts (ITS-90, NIST Monograph 175).
 */
const at40C = 722.8;
const at100C = 243.1;
const coupleAt100C = 4096;
const withinC = 0.2;

/** One step of the virtual boat is one of its seconds. */
const warmS = 4;
const heatedS = 10;
/** The jump looks like a loose connection, whose readings must stay above the limit for 5 s (`high-limit.ts`). */
const alarmedByS = 10;
const unseenByS = 38;
const cycleS = 40;

/**
 * The work of the guard, repeated on a boat whose result is known: a probe that must raise the alarm and one that
 * must not, through the same conversion, detectors, ledger and sound; then an elbow that is lost and must stop the heartbeat.
 * One step a pass; the heartbeat may run only while every step of the last whole cycle was right.
 */
export class ProofOfWork {
  private pass = freshPass();
  private atS = 0;
  private trouble: string | undefined;
  private troubledCycle = false;

  /** Runs one whole cycle, so that it is known at the start whether this program works. */
  constructor() {
    for (let s = 0; s < cycleS; s++) this.step();
  }

  /** Makes one step. The answer is what is wrong, or undefined while the proof holds. */
  step(): string | undefined {
    const wrong = this.wrong();
    if (wrong !== undefined) {
      this.trouble = wrong;
      this.troubledCycle = true;
    }
    if (++this.atS < cycleS) return this.trouble;
    if (!this.troubledCycle) this.trouble = undefined;
    this.troubledCycle = false;
    this.atS = 0;
    this.pass = freshPass();
    return this.trouble;
  }

  private wrong(): string | undefined {
    try {
      return wrongWith(this.pass.run(sensedAt(this.atS)), this.atS);
    } catch (error) {
      return `the guard failed on a known boat: ${(error as Error).message}`;
    }
  }
}

const settings = settingsFromKit(kit);
const converters = new Map(kit.probes.map((probe) => [probe.id, converterFor(probe)]));
const freshPass = () => new Pass(settings, converters, startGuard(asMonotonicMs(0)));

const sensedAt = (s: number) => {
  const atMs = asMonotonicMs(s * 1000);
  const sampled = (probe: string, sample: Sample): Sampled => ({ probe, atMs, sample });
  const counts = (value: number): Sample => ({
    kind: 'counts',
    // A converter is never quite at rest.
    counts: value + (s % 2) / 8,
    fullScale: 1024,
    noiseCounts: 0.5,
    taken: 4,
    strays: 0,
  });
  const open: Sample = { kind: 'nothing', reason: 'open', detail: '' };
  return {
    atMs,
    board: 'connected' as const,
    running: {},
    referencePin: 'none' as const,
    complete: true,
    sampled: [
      sampled('hot', counts(s <= warmS ? at40C : at100C)),
      sampled('cool', s <= heatedS ? counts(at40C) : open),
      sampled('couple', { kind: 'thermocouple', emfMicrovolts: coupleAt100C, coldJunctionC: 0 }),
    ],
  };
};

/** Compares one step with what is known of it. */
function wrongWith({ readings, alerts, annunciation, forgotten }: PassResult, s: number): string | undefined {
  if (forgotten !== undefined) return 'the guard lost its memory on a known boat';
  const expectedC: Readonly<Record<string, number | undefined>> = {
    hot: s <= warmS ? 40 : 100,
    cool: s <= heatedS ? 40 : undefined,
    couple: 100,
  };
  for (const reading of readings) {
    const { probe } = reading;
    const shouldC = expectedC[probe];
    const isC = temperatureOf(reading);
    const same =
      shouldC === undefined ? isC === undefined : isC !== undefined && Math.abs(isC - shouldC) < withinC;
    if (!same) return `a known ${shouldC ?? 'open'} C was converted to ${isC ?? 'nothing'}`;
  }
  if (readings.length !== 3) return `three known samples gave ${readings.length} readings`;
  const has = (id: string) => alerts.some((alert) => alert.id === id);
  if (has('cooling:cool-one')) return 'an elbow at 40 C raised an alert';
  if (s <= warmS && (alerts.length > 0 || annunciation.buzzer)) return 'a boat that is well raised an alert';
  if (s >= alarmedByS && !(has('cooling:warm-one') && annunciation.buzzer === alarmSound))
    return 'an elbow at 100 C did not sound the alarm';
  if (s >= unseenByS && !(has('blind:cool-one') && annunciation.heartStops))
    return 'an elbow that is open did not stop the heartbeat';
  return undefined;
}
