import type { Replayed, ReplayedAlert } from './replay.js';

/** A replay for people: alerts with their evidence, hours, and what other limits would have done. */
export function replayText(replayed: Replayed): string {
  const { alerts, runningHours, hoursBasis, recordedHours, setpoints } = replayed;
  const lines = [
    alerts.length === 0
      ? 'No alert would have been raised.'
      : `${alerts.length} alerts would have been raised:`,
    ...alerts.flatMap(alertLines),
    '',
    `Recorded ${recordedHours.toFixed(1)} h. Running: port ${runningHours.port.toFixed(1)} h (by ${words[hoursBasis.port]}), starboard ${runningHours.starboard.toFixed(1)} h (by ${words[hoursBasis.starboard]}).`,
  ];
  const channels = [...new Set(setpoints.map((row) => row.channel))];
  if (channels.length > 0) {
    lines.push(
      '',
      'High limits held for 2 s: how often each would have been raised (per 1,000 running hours)',
    );
    for (const channel of channels) {
      lines.push(`  ${channel}`);
      for (const { raiseAtC, times, per1000h } of setpoints.filter((row) => row.channel === channel))
        lines.push(
          `    ${String(raiseAtC).padStart(4)} C  ${String(times).padStart(6)}${per1000h === undefined ? '' : `  (${per1000h.toFixed(1)})`}`,
        );
    }
  }
  return lines.join('\n');
}

const words = { 'running-input': 'running input', 'exhaust-gas': 'exhaust gas', recorded: 'recorded time' };

function alertLines({
  at,
  rectifiedAt,
  priority,
  rule,
  channel,
  message,
  evidence,
  state,
}: ReplayedAlert): string[] {
  const numbers = (values: Readonly<Record<string, number>>) =>
    Object.entries(values)
      .map(([name, value]) => `${name} ${Number(value.toFixed(2))}`)
      .join(', ');
  const until = rectifiedAt === undefined ? state : `until ${new Date(rectifiedAt).toISOString()}`;
  return [
    `  ${new Date(at).toISOString()}  ${priority.toUpperCase()}  ${channel}  ${rule}  ${until}`,
    `      ${message}`,
    `      seen: ${numbers(evidence.values)}`,
    `      against: ${numbers(evidence.thresholds)}`,
  ];
}
