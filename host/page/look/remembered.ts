import { effect, type Signal, signal } from '@preact/signals';

/** A choice this browser keeps; anything else found in its place counts as not chosen. */
export const remembered = <Choice extends string>(
  name: string,
  choices: readonly Choice[],
  first: Choice,
): Signal<Choice> => {
  const key = `elbowroom.${name}`;
  const read = (): Choice => {
    try {
      const kept = localStorage.getItem(key);
      return choices.find((choice) => choice === kept) ?? first;
    } catch {
      return first;
    }
  };
  const chosen = signal(read());
  effect(() => {
    try {
      localStorage.setItem(key, chosen.value);
    } catch {
      // A browser that keeps nothing still shows the page.
    }
  });
  return chosen;
};
