import type { Traits } from './traits.js';

/** What narrows the way of the raw water. 1 is open. */
export type Obstacles = {
  readonly intake: number;
  readonly impeller: number;
  readonly exchanger: number;
  /** Part of what is drawn in that is air. */
  readonly air: number;
};

/** Water boils off behind the vanes when the suction falls this far below the atmosphere, kPa; from memory. */
const deepestSuctionKpa = 75;

/**
 * Where the curve of the pump meets the head of the circuit: flow in kg/s and the pressure behind the pump, kPa. A
 * flexible impeller moves a volume for each turn and leaks past its vanes with the pressure; worn vanes move less and
 * leak more. A blocked intake starves it: no more comes than the deepest suction draws through.
 */
export function pumpMeetsCircuit(
  traits: Traits,
  relativeSpeed: number,
  { intake, impeller, exchanger, air }: Obstacles,
): { readonly flow: number; readonly kpa: number } {
  const { ratedFlow, vaneLeak, standingKpa, circuitKpa, suctionKpa } = traits;
  const moved = ratedFlow * relativeSpeed * impeller;
  if (moved < 1e-4) return { flow: 0, kpa: 0 };
  const clean = Math.max(1e-3, intake);
  const starved = (ratedFlow * clean * Math.sqrt(deepestSuctionKpa)) / Math.sqrt(suctionKpa);
  const leak = vaneLeak * (2 - impeller);
  const headAt = (flow: number) =>
    standingKpa + circuitKpa * (flow / ratedFlow / Math.max(0.2, exchanger)) ** 2;
  let low = 0;
  let high = Math.min(moved, starved);
  for (let i = 0; i < 24; i++) {
    const flow = (low + high) / 2;
    const lossKpa = headAt(flow) + suctionKpa * (flow / ratedFlow / clean) ** 2;
    if (flow > moved - (leak * ratedFlow * lossKpa) / 100) high = flow;
    else low = flow;
  }
  const flow = low * (1 - air);
  return { flow, kpa: flow > 1e-3 * ratedFlow ? headAt(flow) : 0 };
}
