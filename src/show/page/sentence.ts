/** A text as a sentence: capital first, one full stop last. */
export function sentence(text: string): string {
  const trimmed = text.trim();
  const stop = /[.!?…]$/.test(trimmed) ? '' : '.';
  return trimmed.charAt(0).toUpperCase() + trimmed.slice(1) + stop;
}
