/** The shortest of 1, 2 and 5 times a power of ten that leaves at most `most` steps in a span. */
export const niceStep = (span: number, most: number): number => {
  const least = span / Math.max(1, most);
  const power = 10 ** Math.floor(Math.log10(least));
  return [1, 2, 5, 10].map((n) => n * power).find((step) => step >= least * 0.999_999) ?? 10 * power;
};
