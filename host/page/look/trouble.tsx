import type { ComponentChildren } from 'preact';

/** What is wrong, read out as it appears; nothing for an empty text. */
export const Trouble = ({ children }: { readonly children: ComponentChildren }) =>
  children ? (
    <p role="alert" class="trouble">
      {children}
    </p>
  ) : null;
