/* Colours and size before the first paint, so that no white page flashes at night. The same keys as look/remembered.ts. */
(() => {
  const kept = (name) => {
    try {
      return localStorage.getItem(`elbowroom.${name}`);
    } catch {
      return null;
    }
  };
  const palette = kept('palette');
  const dark = matchMedia('(prefers-color-scheme: dark)').matches;
  document.documentElement.dataset.palette =
    palette === 'day' || palette === 'night' ? palette : dark ? 'night' : 'day';
  document.documentElement.dataset.size = kept('size') ?? '1';
})();
