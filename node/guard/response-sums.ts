/** Recent averages of an elbow with a time constant of a minute: a change is measured against them. */
export type Moment = {
  readonly elbowC: number;
  /** The learned rise over the sea, K. */
  readonly expectedK: number;
  /** The learned rise once the gas has stayed as it is, K. */
  readonly settledK?: number;
  /** The slow memory of the gas of this engine, and of the other one while that runs, C. */
  readonly gasC: number;
  readonly otherGasC: number | undefined;
};

/** By how much a probe should have changed of late, and by how much it did. */
export type ResponseSums = {
  readonly memory: Moment | undefined;
  /** Sums over the changes, K2 s: of the expected change squared, and of the expected times the observed change. */
  readonly expectedK2S: number;
  readonly responseK2S: number;
  /** The most by which an observed change recently fell short of the expected one, K; absent in states of earlier versions. */
  readonly shortfallK?: number;
};

export const noSums: Required<ResponseSums> = {
  memory: undefined,
  expectedK2S: 0,
  responseK2S: 0,
  shortfallK: 0,
};

const memoryTauS = 60;
/** Time constant with which changes are forgotten, s. */
const forgetTauS = 400;
/** Enough change was expected to judge by: once 3 K within a minute, or 5 K within three. */
export const enoughK2S = 100;
/** No single change counts for more than this, K. */
const mostChangeK = 4;
/**
 * Observed part of the expected change. Chosen on simulated boats, no source: healthy elbows show about the whole of it, with far
 * more water than was learned still a half; detached probes show 0 to 0.3, because the air warms with the load.
 */
export const leastResponse = 0.25;
/** An attached elbow shows this part of it. */
export const wellShare = 0.6;

/**
 * Adds the change against the memories to the sums, and the moment to the memories. After a closed throttle the warm water of a
 * healthy engine holds its elbow up while the gas falls: until that has passed (`surging`) the memories wait, and then the whole change
 * counts. A change counts as expected only where it was learned both of this moment and of this gas once it has stayed so: coolant and
 * metal decide when the rest follows, and the end of an earlier change may have been observed already.
 */
export function addChange(
  { memory, expectedK2S, responseK2S, shortfallK = 0 }: ResponseSums,
  now: Moment & { readonly settledK: number },
  dtS: number,
  surging: boolean,
): Required<ResponseSums> {
  if (!memory) return { ...noSums, memory: now };
  const kept = Math.exp(-dtS / forgetTauS);
  const faded = {
    expectedK2S: expectedK2S * kept,
    responseK2S: responseK2S * kept,
    shortfallK: shortfallK * kept,
  };
  if (surging) return { memory, ...faded };
  const share = 1 - Math.exp(-dtS / memoryTauS);
  const follow = (was: number, is: number) => was + (is - was) * share;
  const wasSettledK = memory.settledK ?? now.settledK;
  const expectedChangeK = smallerChange(now.expectedK - memory.expectedK, now.settledK - wasSettledK);
  const observedChangeK = now.elbowC - memory.elbowC;
  const countedS = isGasAlike(memory, now) ? dtS : 0;
  const countedK = clip(expectedChangeK);
  return {
    memory: {
      elbowC: follow(memory.elbowC, now.elbowC),
      expectedK: follow(memory.expectedK, now.expectedK),
      settledK: follow(wasSettledK, now.settledK),
      gasC: follow(memory.gasC, now.gasC),
      otherGasC: now.otherGasC && follow(memory.otherGasC ?? now.otherGasC, now.otherGasC),
    },
    expectedK2S: faded.expectedK2S + countedK * countedK * countedS,
    responseK2S: faded.responseK2S + countedK * clip(observedChangeK) * countedS,
    shortfallK: Math.max(
      faded.shortfallK,
      countedS > 0 ? Math.abs(expectedChangeK) - Math.sign(expectedChangeK) * observedChangeK : 0,
    ),
  };
}

/** Whether enough change was expected, and as much of it observed as an attached probe shows. */
export const responds = ({ expectedK2S, responseK2S }: ResponseSums): boolean =>
  expectedK2S >= enoughK2S && responseK2S > wellShare * expectedK2S;

/** For people to read: the change that adds up to this sum within a minute, K. */
export const withinAMinuteK = (sumK2S: number): number => Math.sqrt(sumK2S / 60);

/** The smaller of two changes of the same sign; 0 of two that differ in sign. */
const smallerChange = (a: number, b: number): number => (a * b <= 0 ? 0 : Math.abs(a) < Math.abs(b) ? a : b);

/** Whether the gases of both engines, where both run, change in the same direction and by about as much. */
function isGasAlike(memory: Moment, now: Moment): boolean {
  if (now.otherGasC === undefined || memory.otherGasC === undefined) return true;
  const ratio = (now.otherGasC - memory.otherGasC) / (now.gasC - memory.gasC);
  return ratio > 0.5 && ratio < 2;
}

const clip = (k: number): number => Math.max(-mostChangeK, Math.min(mostChangeK, k));
