/** Where a probe sits. `sea-water` and `engine-room` belong to both engines. */
export const places = ['wet-elbow', 'dry-exhaust', 'before-turbo', 'sea-water', 'engine-room'] as const;
export type Place = (typeof places)[number];
