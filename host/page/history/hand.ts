type Moves = {
  /** Later (positive) or earlier by a share of the width. */
  pan(share: number): void;
  /** Wider (above 1) or closer about a point, 0 left to 1 right. */
  zoom(factor: number, at: number): void;
  /** A finger or the mouse is at this point. */
  point(clientX: number): void;
  /** 0 at the left end of the plot, 1 at its right. */
  share(clientX: number): number;
};

/**
 * One finger or the mouse drags, two fingers pinch, whatever touches or passes over points. The wheel belongs to the
 * page, and zooms only while Ctrl, Shift or Command is held. The answer takes the listeners off.
 */
export const handle = (over: HTMLElement, { pan, zoom, point, share: at }: Moves): (() => void) => {
  const fingers = new Map<number, number>();
  const stop = new AbortController();
  const spread = () => {
    const [a = 0, b = 0] = [...fingers.values()];
    return Math.max(0.02, Math.abs(a - b));
  };
  over.style.touchAction = 'pan-y';
  const on = <Kind extends keyof HTMLElementEventMap>(
    kind: Kind,
    listener: (event: HTMLElementEventMap[Kind]) => void,
  ) => over.addEventListener(kind, listener, { signal: stop.signal, passive: false });
  on('pointerdown', (event) => {
    fingers.set(event.pointerId, at(event.clientX));
    over.setPointerCapture(event.pointerId);
    point(event.clientX);
  });
  on('pointermove', (event) => {
    const before = fingers.get(event.pointerId);
    if (before === undefined) return point(event.clientX);
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
    if (!event.ctrlKey && !event.shiftKey && !event.metaKey) return;
    event.preventDefault();
    if (!event.shiftKey && Math.abs(event.deltaX) > Math.abs(event.deltaY))
      pan(event.deltaX / over.clientWidth);
    else zoom(event.deltaY + (event.shiftKey ? event.deltaX : 0) > 0 ? 1.25 : 0.8, at(event.clientX));
  });
  return () => stop.abort();
};
