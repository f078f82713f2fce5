export const stateWords = {
  unacknowledged: 'not acknowledged',
  acknowledged: 'acknowledged, still active',
  rectified: 'ended, acknowledge',
} as const;
