import type { ComponentProps } from 'preact';

/** A button that does something here and sends no form. */
export const Button = (props: ComponentProps<'button'>) => <button type="button" {...props} />;
