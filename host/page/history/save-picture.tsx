import { useSignal } from '@preact/signals';
import { chartFont } from '../chart/over-the-lines.js';
import { Button } from '../look/button.js';
import { ink } from '../look/palette.js';

/** The charts as they are seen, one below the other with their titles and keys, as a PNG. */
export const SavePicture = ({ from }: { readonly from: number }) => {
  const trouble = useSignal('');
  const save = () =>
    pictureOf(document.querySelectorAll<HTMLElement>('.envelope')).toBlob((blob) => {
      trouble.value = blob ? '' : 'The browser gives no picture.';
      if (!blob) return;
      const href = URL.createObjectURL(blob);
      const link = Object.assign(document.createElement('a'), {
        href,
        download: `elbowroom-${new Date(from).toISOString().slice(0, 10)}.png`,
      });
      link.click();
      setTimeout(() => URL.revokeObjectURL(href), 10_000);
    }, 'image/png');
  return (
    <p>
      <Button onClick={save}>Save as picture</Button> <span role="status">{trouble.value}</span>
    </p>
  );
};

const headPx = 44;

const pictureOf = (charts: Iterable<HTMLElement>): HTMLCanvasElement => {
  const parts = [...charts].flatMap((chart) => {
    const canvas = chart.querySelector('canvas');
    return canvas ? [{ chart, canvas }] : [];
  });
  const ratio = devicePixelRatio || 1;
  const whole = document.createElement('canvas');
  whole.width = Math.max(1, ...parts.map(({ canvas }) => canvas.width));
  whole.height = parts.reduce((sum, { canvas }) => sum + canvas.height + headPx * ratio, 1);
  const context = whole.getContext('2d');
  if (!context) return whole;
  context.fillStyle = ink('--paper');
  context.fillRect(0, 0, whole.width, whole.height);
  let top = 0;
  for (const { chart, canvas } of parts) {
    context.fillStyle = ink('--ink');
    context.font = `bold ${chartFont(15 * ratio)}`;
    context.fillText(chart.querySelector('h3')?.textContent ?? '', 8 * ratio, top + 17 * ratio);
    context.font = chartFont(13 * ratio);
    let left = 8 * ratio;
    for (const item of chart.querySelectorAll('.key li')) {
      const path = item.querySelector('path');
      const style = path && getComputedStyle(path);
      context.strokeStyle = style?.stroke ?? '';
      context.lineWidth = 2.5 * ratio;
      context.setLineDash((style?.strokeDasharray.match(/[\d.]+/g) ?? []).map((n) => Number(n) * ratio));
      context.beginPath();
      context.moveTo(left, top + 34 * ratio);
      context.lineTo(left + 36 * ratio, top + 34 * ratio);
      context.stroke();
      const text = (item.textContent ?? '').replace(item.querySelector('b')?.textContent || '\0', '');
      context.fillText(text, left + 42 * ratio, top + 38 * ratio);
      left += 66 * ratio + context.measureText(text).width;
    }
    context.drawImage(canvas, 0, top + headPx * ratio);
    top += canvas.height + headPx * ratio;
  }
  return whole;
};
