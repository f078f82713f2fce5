/** Lets the page open without the host, where a service worker can run: on this computer or over https. */
export const keepPage = async (): Promise<void> => {
  if (!('serviceWorker' in navigator)) return;
  try {
    await navigator.serviceWorker.register('./sw.js');
    const { active } = await navigator.serviceWorker.ready;
    const files = performance
      .getEntriesByType('resource')
      .map(({ name }) => name.split('#')[0] ?? name)
      .filter((name) => name.startsWith(location.origin) && !/\/api\/(?!now$)/.test(name));
    active?.postMessage({ keep: [location.href.split('#')[0], ...new Set(files)] });
  } catch {
    // Without it a reload needs the host, as it always did.
  }
};
