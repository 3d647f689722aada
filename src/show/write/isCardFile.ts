/**
 * Whether a file of the output folder is one that the command `card` makes. It belongs to one chart: whoever writes a newer one takes it
 * away.
 * @example isCardFile('card-2.png') // true
 */
export function isCardFile(name: string): boolean {
  return /^(?:card\.(?:html|pdf)|card-\d+\.(?:svg|png)|levels\.csv)$/.test(name);
}
