/** Every screen but Now: one file that is fetched after the figures are seen. */
export { BenchScreen } from '../bench/bench-screen.js';
export { CalibrateScreen } from '../calibrate/calibrate-screen.js';
export { DiagnosticsScreen } from '../diagnostics/diagnostics-screen.js';
export { HealthScreen } from '../health/health-screen.js';
export { HistoryScreen } from '../history/history-screen.js';
export { SetUpScreen } from '../set-up/set-up-screen.js';
