/** One line of the shopping list. */
export type Part = { readonly quantity: number; readonly part: string; readonly use: string };

/** A line, in the order of a shopping list. */
export const line = (quantity: number, part: string, use: string): Part => ({ quantity, part, use });
