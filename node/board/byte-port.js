/** Bytes that may wait for a line that does not take them, before the line is given up. Stock firmware takes 5.7 kB/s. */
export const mostBytesWaiting = 4096;
//# sourceMappingURL=byte-port.js.map