/** Sizes of type in px, and the families asked for; everything that writes words uses these. */
export const TYPE = {
  title: 18,
  panel: 13,
  body: 12,
  tick: 11,
  family: "'Source Sans 3', 'Noto Sans', 'Segoe UI', 'Helvetica Neue', Arial, sans-serif",
} as const;
