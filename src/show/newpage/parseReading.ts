/** What was typed as a gauge reading: a number, or why it is none. */
export type TypedReading =
  { readonly value: number } | { readonly problem: 'empty' | 'not-a-number' | 'comma-unclear' };

/**
 * A reading as people type it: `312`, `8.5`, `8,5`, `1 200`. A comma before exactly three digits could mean either thousands
 * or decimals, a factor of a thousand in water: it is asked back.
 *
 * Stands alone (no imports, no helpers): the page carries its source.
 */
export function parseReading(text: string): TypedReading {
  const typed = text.replace(/[\s\u00a0\u2009\u202f]/g, '').replace('\u2212', '-');
  if (typed === '') return { problem: 'empty' };
  if (/^-?\d{1,3}(,\d{3})+$/.test(typed)) return { problem: 'comma-unclear' };
  if (!/^-?(\d+([.,]\d*)?|[.,]\d+)$/.test(typed)) return { problem: 'not-a-number' };
  return { value: Number(typed.replace(',', '.')) };
}
