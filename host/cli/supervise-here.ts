import { startServiceWatchdog } from '../service/service-watchdog.js';
import type { ReadyDetail } from '../supervise/messages.js';
import { type Member, supervise } from '../supervise/supervise.js';
import { exitCodes, UnavailableError, UsageError } from './exit.js';
import { keepOnWithoutReader } from './steady-output.js';

type Details = Readonly<Record<string, ReadyDetail | undefined>>;

/**
 * Runs the members as processes of this same program until Ctrl-C or SIGTERM.
 * `exitWithParent` members also end when this process is gone; the guard of a real boat is better left running.
 */
export const superviseHere = async (options: {
  members: readonly Member[];
  exitWithParent: boolean;
  /** Whether a terminal that closes ends it; the guard of a real boat continues. */
  endsWithTerminal: boolean;
  /** Called once, when every member does its work, with what each said of itself. */
  onUp: (details: Details) => void;
}): Promise<void> => {
  keepOnWithoutReader(() => {
    if (options.endsWithTerminal) supervision.stop();
  });
  const entry = process.argv[1] as string;
  const details: Record<string, ReadyDetail> = {};
  const members = options.exitWithParent
    ? options.members.map((m) => ({ ...m, args: [...m.args, '--exit-with-parent'] }))
    : options.members;
  const supervision = supervise(
    entry,
    members,
    (line) => console.error(`elbowroom: ${line}`),
    (name, detail) => {
      const wasUp = members.every((m) => details[m.name]);
      details[name] = detail;
      if (!wasUp && members.every((m) => details[m.name])) options.onUp(details);
    },
  );
  startServiceWatchdog();
  process.on('SIGINT', supervision.stop);
  process.on('SIGTERM', supervision.stop);
  const code = await supervision.ended;
  if (code === 0) return;
  const said = 'Stopped, because a part of it could not continue (see above).';
  throw code === exitCodes.usage ? new UsageError(said) : new UnavailableError(said);
};
