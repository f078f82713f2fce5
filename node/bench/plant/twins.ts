/** The engines of the invented twin: of the bench's example boat, and of every boat in the campaign. */
export const twins = ['port', 'starboard'] as const;
export type TwinId = (typeof twins)[number];
