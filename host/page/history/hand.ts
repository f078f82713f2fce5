type Moves = {
  /** Later (positive) or earlier by a share of the width. */
  pan(share: number): void;
  /** Wider (above 1) or closer about a point, 0 left to 1 right. */
  zoom(factor: number, at: number): void;
};

/** One finger or the mouse drags, two fingers pinch, the wheel zooms. The answer takes the listeners off. */
export const handle = (over: HTMLElement, { pan, zoom }: Moves): (() => void) => {
  const fingers = new Map<number, number>();
  const stop = new AbortController();
  const at = (x: number) => {
    const box = over.getBoundingClientRect();
    return (x - box.left) / box.width;
  };
  const spread = () => {
    const [a = 0, b = 0] = [...fingers.values()];
    return Math.max(0.02, Math.abs(a - b));
  };
  over.style.touchAction = 'pan-y';
  const on = <Kind extends keyof HTMLElementEventMap>(
    kind: Kind,
    heard: (event: HTMLElementEventMap[Kind]) => void,
  ) => over.addEventListener(kind, heard, { signal: stop.signal, passive: false });
  on('pointerdown', (event) => {
    fingers.set(event.pointerId, at(event.clientX));
    over.setPointerCapture(event.pointerId);
  });
  on('pointermove', (event) => {
    const before = fingers.get(event.pointerId);
    if (before === undefined) return;
    const here = at(event.clientX);
    const wide = spread();
    fingers.set(event.pointerId, here);
    if (fingers.size === 1) pan(before - here);
    else {
      const [a = 0, b = 0] = [...fingers.values()];
      zoom(wide / spread(), (a + b) / 2);
    }
  });
  const lift = (event: PointerEvent) => fingers.delete(event.pointerId);
  on('pointerup', lift);
  on('pointercancel', lift);
  on('wheel', (event) => {
    event.preventDefault();
    if (Math.abs(event.deltaX) > Math.abs(event.deltaY)) pan(event.deltaX / over.clientWidth);
    else zoom(event.deltaY > 0 ? 1.25 : 0.8, at(event.clientX));
  });
  return () => stop.abort();
};
