import { readable } from '../look/readable.js';

/** What to do now, in order. */
export const Actions = ({ actions }: { readonly actions: readonly string[] }) =>
  actions.length ? (
    <ol aria-label="What to do now">
      {actions.map((action) => (
        <li key={action}>{readable(action)}</li>
      ))}
    </ol>
  ) : null;
