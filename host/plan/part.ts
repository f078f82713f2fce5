/** One line of the shopping list. */
export type Part = { readonly quantity: number; readonly part: string; readonly use: string };
