/** A step of 1, 2 or 5 times a power of ten that gives about `count` of them. */
export const niceStep = (range: number, count: number): number => {
  const raw = range / count;
  const power = 10 ** Math.floor(Math.log10(raw));
  return ([1, 2, 5, 10].find((m) => m * power >= raw) ?? 10) * power;
};
