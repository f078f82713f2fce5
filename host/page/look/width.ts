import type { RefObject } from 'preact';
import { useEffect, useRef, useState } from 'preact/hooks';

/** The width a drawing has on this screen, so that its letters keep their size on a phone; `usual` until it is known. */
export const useWidth = <Drawn extends Element>(usual: number): readonly [RefObject<Drawn>, number] => {
  const drawn = useRef<Drawn>(null);
  const [width, setWidth] = useState(usual);
  useEffect(() => {
    if (!drawn.current) return;
    const watch = new ResizeObserver(([seen]) => {
      const found = Math.round(seen?.contentRect.width ?? 0);
      if (found > 0) setWidth(found);
    });
    watch.observe(drawn.current);
    return () => watch.disconnect();
  }, []);
  return [drawn, width];
};
