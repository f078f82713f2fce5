import { converterFor } from '../convert/converter.js';
import { type WiringLook, WiringView } from './look.js';
import type { Recording } from './recording.js';

/** The last look a recording allows, by the kit it holds. Certificates are left out: they are not in it. */
export const lookAtRecording = ({ kit, passes }: Recording): WiringLook => {
  const view = new WiringView(kit, new Map(kit.probes.map((probe) => [probe.id, converterFor(probe)])));
  for (const pass of passes) view.take(pass);
  const last = passes.at(-1);
  return view.look({
    state: last?.board ?? 'lost',
    detail: `A recording of ${passes.length} passes.`,
    sinceMs: passes[0]?.atMs ?? (0 as never),
  });
};
