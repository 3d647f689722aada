/** Thin space that does not break: groups digits as NIST SP 811, section 10.5.3, asks for. */
const THIN = '\u202f';

/**
 * Thousands apart by a thin space, from 10 000 on, and a real minus; the decimals stay as they are.
 * @example groupDigits('12345.6') // '12 345.6'
 */
export function groupDigits(text: string): string {
  const [whole, decimals] = text.split('.') as [string, string | undefined];
  const digits = whole.replace('-', '');
  const grouped = digits.length > 4 ? digits.replace(/\B(?=(\d{3})+$)/g, THIN) : digits;
  return `${whole.startsWith('-') ? '−' : ''}${grouped}${decimals === undefined ? '' : `.${decimals}`}`;
}
