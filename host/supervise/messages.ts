/** What a long-running command says to the process that started it. Without a supervisor it goes nowhere. */
export type MemberMessage =
  /** It does its work. */
  | { readonly kind: 'ready'; readonly detail: Readonly<Record<string, unknown>> }
  /** How far it has come: passes of the guard, turns of the host. A count that does not grow is a process that hangs. */
  | { readonly kind: 'progress'; readonly count: number };

export type ReadyDetail = Extract<MemberMessage, { kind: 'ready' }>['detail'];

export const isMemberMessage = (message: unknown): message is MemberMessage =>
  typeof message === 'object' &&
  message !== null &&
  'kind' in message &&
  (message.kind === 'ready' || message.kind === 'progress');

export const sayReady = (detail: ReadyDetail = {}): void => say({ kind: 'ready', detail });

const everyMs = 1_000;

/** Says once a second how far it has come, as long as somebody takes it. Gives what stops it. */
export const sayProgress = (count: () => number): (() => void) => {
  let taken = true;
  const timer = setInterval(() => {
    // A supervisor that hangs must not fill the memory of the guard.
    if (!taken) return;
    taken = false;
    say({ kind: 'progress', count: count() }, () => {
      taken = true;
    });
  }, everyMs);
  timer.unref();
  return () => clearInterval(timer);
};

const say = (message: MemberMessage, done: () => void = () => {}): void => {
  if (process.connected) process.send?.(message, undefined, {}, () => done());
};
