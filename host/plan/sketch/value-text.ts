const upTo3 = (n: number) => String(Number(n.toPrecision(3)));

/** `1.5 kΩ`, `220 Ω`, `1 MΩ`. */
export const ohmsText = (ohms: number): string => {
  if (ohms >= 1e6) return `${upTo3(ohms / 1e6)} MΩ`;
  return ohms >= 1000 ? `${upTo3(ohms / 1000)} kΩ` : `${upTo3(ohms)} Ω`;
};

/** `22 µF`. */
export const microfarads = (farads: number): string => `${upTo3(farads * 1e6)} µF`;
