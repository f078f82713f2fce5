import { stringify } from 'yaml';
import type { BaselineFile } from '../../node/index.js';

const preface = `# What elbowroom learned of this boat. Made by: elbowroom commission
# Name it in kit.yaml (baseline: baseline.yaml) and the node uses what is armed here.
# spread: how far the elbow strayed above the model in each kind of moment; seconds: how much of it was seen.
# After work on pump, cooler or exhaust, commission again: the old normal is gone.
# proposedLimits are proposals; copy them into kit.yaml if you agree. They do not replace the engine's own alarms.
`;

export const baselineText = (file: BaselineFile): string => preface + stringify(file, { lineWidth: 110 });
