/** A text as a sentence: capital first, one full stop last, numbers typeset. */
export function sentence(text: string): string {
  const trimmed = typeset(text.trim());
  const stop = /[.!?…]$/.test(trimmed) ? '' : '.';
  return trimmed.charAt(0).toUpperCase() + trimmed.slice(1) + stop;
}

/** `-9 %` becomes `−9 %`, kept on one line; the hyphens of dates and words stay. */
export function typeset(text: string): string {
  return text.replace(/(^|[\s(])-(?=\d)/g, '$1−').replace(/(\d) %/g, '$1\u00a0%');
}
