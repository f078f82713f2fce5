import { firstActions, instructionOf } from './actions.js';
import type { Alert } from './alert.js';
import { type Condition, severityOf } from './condition.js';
import type { Entry } from './entry.js';

// What an alert asks of people, and whether a condition asks for more than they were called for.

/** Whether something joined what people were asked to acknowledge. */
export const hasNews = ({ askedFor = [] }: Entry, { asksFor = [] }: Condition): boolean =>
  asksFor.some((one) => !askedFor.includes(one));

/** A warning that was acknowledged on an engine that idled, and idles still: it asked for what the alarm asks for. */
export const asksForTheSame = ({ life, alert }: Entry, condition: Condition): boolean =>
  condition.situation === 'cooling' &&
  condition.idles === true &&
  life === 'acknowledged' &&
  alert.priority === 'warning' &&
  alert.instruction === instructionOf(condition);

/** It was acknowledged when it asked to ease back; the engine idles by now, and is still too warm. */
export const asksToStopNow = (entry: Entry, condition: Condition): boolean =>
  condition.situation === 'cooling' &&
  condition.idles === true &&
  entry.life === 'acknowledged' &&
  entry.alert.priority === 'warning' &&
  entry.alert.instruction !== instructionOf(asCalledFor(entry, condition));

/** An alarm on an engine that does not idle. */
export const isAlarmUnderLoad = ({ priority, idles }: Condition): boolean => priority === 'alarm' && !idles;

/**
 * What an alert says of a condition that is true now, all of it together. Its priority stays that of the call, and so does
 * what it asks people to do: only its own growth with time asks for nothing more.
 */
export function wordsFor(entry: Entry, condition: Condition): Partial<Alert> {
  const { rule, message } = condition;
  const asCalled = asCalledFor(entry, condition);
  const instruction = instructionOf(asCalled);
  const before = entry.alert.instruction;
  const asksForLess = instruction !== before && before === atIdle(asCalled);
  return severityOf(asCalled) < entry.severity || asksForLess
    ? { rule, message }
    : { rule, message, instruction, actions: firstActions(asCalled) };
}

/** What the same condition asks for where the engine idles. */
const atIdle = (condition: Condition): string => instructionOf({ ...condition, idles: true });

const asCalledFor = ({ alert }: Entry, condition: Condition): Condition =>
  alert.escalated ? condition : { ...condition, priority: alert.priority };
