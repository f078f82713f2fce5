/** Where `elbowroom bench` serves its emulated board by default: what `connection: bench` in a kit means. */
export const benchBoard = 'tcp://127.0.0.1:8473';
