/**
 * Keeps the screen on while an engine runs, where the browser allows it; browsers drop the lock when the page is hidden,
 * so it is asked for again. The answer gives it back.
 */
export const stayAwake = (): (() => void) => {
  let over = false;
  let lock: WakeLockSentinel | undefined;
  const ask = async () => {
    if (over || document.visibilityState !== 'visible' || (lock && !lock.released)) return;
    try {
      lock = await navigator.wakeLock?.request('screen');
      if (over) await lock?.release();
    } catch {
      // Refused (low battery, no permission): the page works without.
    }
  };
  void ask();
  document.addEventListener('visibilitychange', ask);
  return () => {
    over = true;
    document.removeEventListener('visibilitychange', ask);
    void lock?.release();
  };
};
