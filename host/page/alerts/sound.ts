import { effect, signal } from '@preact/signals';
import { contactLost } from '../frame/contact.js';
import { now } from '../link/stream.js';
import { remembered } from '../look/remembered.js';

/**
 * Sound from the browser, after a person allowed it (browsers insist). It follows the node's alerts and never
 * replaces the buzzer at the board: a tablet sleeps, runs flat and is carried ashore.
 * The alarm is a continuous rising two-tone; the warning is two short low notes, once every ten seconds; lost data
 * is three falling notes, once every five.
 */
export type SoundState = 'off' | 'on' | 'blocked';

/** The choice is kept over a reload; whether the browser plays it is another matter. */
const wanted = remembered('sound', ['off', 'on'] as const, 'off');
/** `blocked`: chosen, and the browser waits for a touch before it plays anything. */
export const sound = signal<SoundState>('off');

let context: AudioContext | undefined;
let quietUntilMs = 0;

export const setSound = async (on: boolean): Promise<void> => {
  wanted.value = on ? 'on' : 'off';
  if (!on) {
    sound.value = 'off';
    await context?.suspend();
    return;
  }
  context ??= new AudioContext();
  sound.value = context.state === 'running' ? 'on' : 'blocked';
  await context.resume();
  sound.value = context.state === 'running' ? 'on' : 'blocked';
  note(660, 0, 0.08);
};

/** Which sound the active alerts ask for at `atMs`; the most severe wins. */
export const wantedSound = (
  alerts: readonly { readonly priority: string; readonly state: string; readonly silencedUntil?: number }[],
  atMs: number,
): 'alarm' | 'warning' | 'none' => {
  const loud = alerts.filter((a) => a.state === 'unacknowledged' && !((a.silencedUntil ?? 0) > atMs));
  if (loud.some((a) => a.priority === 'alarm')) return 'alarm';
  return loud.some((a) => a.priority === 'warning') ? 'warning' : 'none';
};

const note = (hertz: number, afterS: number, forS: number) => {
  if (!context) return;
  const start = context.currentTime + afterS;
  const tone = new OscillatorNode(context, { type: 'square', frequency: hertz });
  const gain = new GainNode(context, { gain: 0.2 });
  tone.connect(gain).connect(context.destination);
  tone.start(start);
  tone.stop(start + forS);
};

type Notes = readonly (readonly [hertz: number, afterS: number, forS: number])[];
const sounds: Readonly<
  Record<'alarm' | 'warning' | 'no-data', { readonly notes: Notes; readonly everyMs: number }>
> = {
  alarm: {
    notes: [
      [740, 0, 0.22],
      [988, 0.25, 0.3],
    ],
    everyMs: 0,
  },
  'no-data': {
    notes: [
      [784, 0, 0.15],
      [587, 0.2, 0.15],
      [440, 0.4, 0.3],
    ],
    everyMs: 5_000,
  },
  warning: {
    notes: [
      [392, 0, 0.12],
      [392, 0.2, 0.12],
    ],
    everyMs: 10_000,
  },
};

const soundOnce = () => {
  if (sound.value !== 'on' || !now.value) return;
  const asked = wantedSound(now.value.alerts, now.value.at);
  const which = asked === 'alarm' ? asked : contactLost() ? 'no-data' : asked;
  if (which === 'none') {
    quietUntilMs = 0;
    return;
  }
  const { notes, everyMs } = sounds[which];
  if (which !== 'alarm' && performance.now() < quietUntilMs) return;
  quietUntilMs = performance.now() + everyMs;
  for (const [hertz, afterS, forS] of notes) note(hertz, afterS, forS);
};

export const startSound = (): void => {
  setInterval(soundOnce, 700);
  effect(() => {
    document.documentElement.dataset.sound = sound.value;
  });
  if (wanted.value === 'off') return;
  void setSound(true);
  // The first touch anywhere gives a browser what it insists on.
  const again = () => sound.value === 'blocked' && void setSound(true);
  for (const kind of ['pointerdown', 'keydown'] as const) addEventListener(kind, again);
};
