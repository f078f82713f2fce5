export const stateWords = {
  unacknowledged: 'not acknowledged',
  acknowledged: 'acknowledged, still standing',
  rectified: 'over: acknowledge to clear',
} as const;
