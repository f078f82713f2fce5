import { useEffect, useState } from 'preact/hooks';
import type { HistoryView } from '../../serve/history-routes.js';

/** What is seen, as a file: one line a bucket and probe (Celsius, kPa or 1/min by its quantity), times with their zone. */
export const csvOf = (view: HistoryView): string => {
  const lines = ['bucket_start,bucket_seconds,probe,quantity,readings,missing,min,mean,max'];
  for (const { probe, quantity, everyMs, at, n, missing, min, mean, max } of view.envelopes)
    at.forEach((time, i) => {
      if (!(n[i] || missing[i])) return;
      const figures = [min[i], mean[i], max[i]].map((v) => (typeof v === 'number' ? v.toFixed(3) : ''));
      lines.push(
        [new Date(time).toISOString(), everyMs / 1000, probe, quantity, n[i], missing[i], ...figures].join(),
      );
    });
  return `${lines.join('\n')}\n`;
};

export const SavedAs = ({ view }: { readonly view: HistoryView }) => {
  const [href, setHref] = useState('');
  useEffect(() => {
    const made = URL.createObjectURL(new Blob([csvOf(view)], { type: 'text/csv' }));
    setHref(made);
    return () => URL.revokeObjectURL(made);
  }, [view]);
  const day = new Date(view.from).toISOString().slice(0, 10);
  return (
    <p>
      <a class="button" href={href} download={`elbowroom-${day}.csv`}>
        Save as CSV
      </a>
    </p>
  );
};
