/** A coordinate with at most two decimals, as short as it goes. */
export function coordinate(x: number): string {
  const rounded = Math.round(x * 100) / 100;
  return String(rounded === 0 ? 0 : rounded);
}

/** A number for readers: fixed decimals and a true minus sign; never a negative zero. */
export function readable(x: number, decimals = 2): string {
  const text = x.toFixed(decimals);
  return Number(text) === 0 ? text.replace('-', '') : text.replace('-', '−');
}

/** A number for readers that always shows its sign. */
export function signed(x: number, decimals = 2): string {
  const text = readable(x, decimals);
  return Number(x.toFixed(decimals)) > 0 ? `+${text}` : text;
}
