import {
  type Certificate,
  certificateName,
  certifiedTemperatureC,
  type ProbeProgress,
} from '../../calibration/index.js';

export type ShownProgress = ProbeProgress & { readonly under?: string };

/** The last reading of each probe as the watch shows it: under the certificate in force, where there is one. */
export const underCertificates = (
  progress: readonly ProbeProgress[],
  inForce: Readonly<Record<string, Certificate>>,
): readonly ShownProgress[] =>
  progress.map((p) => {
    const certificate = inForce[p.probe];
    if (!certificate || !p.signal) return p;
    return {
      ...p,
      readC: certifiedTemperatureC(certificate, p.signal),
      under: certificateName(certificate),
    };
  });
