import type { ComponentChildren } from 'preact';

type Props = { readonly of: readonly string[]; readonly children?: ComponentChildren };

/** The head of a table: a column for each name; further head cells may follow as children. */
export const Columns = ({ of, children }: Props) => (
  <thead>
    <tr>
      {of.map((name) => (
        <th key={name} scope="col">
          {name}
        </th>
      ))}
      {children}
    </tr>
  </thead>
);

/** A row of a table, which its first cell names. */
export const Row = ({ of: [name, ...cells] }: { readonly of: readonly ComponentChildren[] }) => (
  <tr>
    <th scope="row">{name}</th>
    {cells.map((cell, i) => (
      <td key={i}>{cell}</td>
    ))}
  </tr>
);
