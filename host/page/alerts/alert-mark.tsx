/** Shape shows the priority as well as colour does: triangle alarm, disc warning, square caution. */
export const AlertMark = ({ priority }: { readonly priority: 'alarm' | 'warning' | 'caution' }) => (
  <svg class={`mark ${priority}`} viewBox="0 0 32 32" aria-hidden="true">
    {priority === 'alarm' && <path d="M16 2 31 29H1z" />}
    {priority === 'warning' && <circle cx="16" cy="16" r="14.5" />}
    {priority === 'caution' && <rect x="2.5" y="2.5" width="27" height="27" rx="2" />}
    <path class="sign" d={priority === 'alarm' ? 'M16 11v9M16 23v3' : 'M16 7v12M16 22v3'} />
  </svg>
);
