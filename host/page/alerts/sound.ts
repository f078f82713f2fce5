import { effect, signal } from '@preact/signals';
import { now } from '../link/stream.js';

/**
 * Sound from the browser, after a person allowed it (browsers insist). It follows the node's alerts and never
 * replaces the buzzer at the board: a tablet sleeps, runs flat and is carried ashore.
 * The alarm is a rising two-tone that goes on; the warning is two short low notes, once every ten seconds.
 */
export const soundAllowed = signal(false);

let context: AudioContext | undefined;
let lastWarningAtMs = Number.NEGATIVE_INFINITY;

export const toggleSound = async (): Promise<void> => {
  if (soundAllowed.value) {
    soundAllowed.value = false;
    return;
  }
  context ??= new AudioContext();
  await context.resume();
  soundAllowed.value = context.state === 'running';
  note(660, 0, 0.08);
};

/** Which sound the standing alerts ask for at `atMs`; the gravest wins. */
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

const soundOnce = () => {
  if (!soundAllowed.value || !now.value) return;
  const wanted = wantedSound(now.value.alerts, now.value.at);
  if (wanted === 'alarm') {
    note(740, 0, 0.22);
    note(988, 0.25, 0.3);
  } else if (wanted === 'warning' && performance.now() - lastWarningAtMs > 10_000) {
    lastWarningAtMs = performance.now();
    note(392, 0, 0.12);
    note(392, 0.2, 0.12);
  }
};

export const startSound = (): void => {
  setInterval(soundOnce, 700);
  effect(() => {
    document.documentElement.dataset.sound = soundAllowed.value ? 'on' : 'off';
  });
};
