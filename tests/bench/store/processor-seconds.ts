import { readFileSync } from 'node:fs';

/** Seconds of processor time that a process has taken, in user and system mode; Linux counts in hundredths. */
export const processorSeconds = (pid: number): number => {
  const fields = readFileSync(`/proc/${pid}/stat`, 'utf8').split(') ')[1]?.split(' ') ?? [];
  return (Number(fields[11]) + Number(fields[12])) / 100;
};
