import type { ProbeCard } from '../../../node/index.js';

export const portElbow: ProbeCard = {
  id: 'port-elbow',
  name: 'Port wet elbow',
  engine: 'port',
  place: 'wet-elbow',
  mounting: 'well',
  limits: {
    warning: { raiseAtC: 68, clearAtC: 64, holdS: 2 },
    alarm: { raiseAtC: 75, clearAtC: 70, holdS: 2 },
  },
};
