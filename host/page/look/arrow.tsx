/** Drawn, not written: fonts differ in which arrows they have and how wide these are. */
const ways = { rising: 'M5 1 9.5 9h-9z', falling: 'M5 9 .5 1h9z' } as const;

export type Trend = 'rising' | 'falling' | 'steady' | 'unknown';

export const Arrow = ({ trend }: { readonly trend: Trend }) =>
  trend === 'rising' || trend === 'falling' ? (
    <svg class="way" viewBox="0 0 10 10" role="img" aria-label={trend}>
      <path d={ways[trend]} />
    </svg>
  ) : null;
